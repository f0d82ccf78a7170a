"""The groups of classes that a line of a jurisdiction file may name instead of each class."""

from __future__ import annotations

from register.rules.classes import CLASSES, EquipmentClass

GROUPS = (
    *("@every", "@textile", "@metal", "@mechanical", "@mixed"),
    *("@lifts-persons", "@anchor", "@installed"),
)
GROUPS_BUT = tuple(f"@not-{group[1:]}" for group in GROUPS[1:])
CLASS_WORDS = (*CLASSES, *GROUPS, *GROUPS_BUT)


def classes_called(name: str) -> list[str]:
    """The classes of a known name: a class, a group, or all but a group."""
    if name in CLASSES:
        return [name]
    inside = {slug for slug, one in CLASSES.items() if _belongs(one, name.replace("@not-", "@"))}
    return [slug for slug in CLASSES if (slug in inside) != name.startswith("@not-")]


def _belongs(one: EquipmentClass, group: str) -> bool:
    by_trait = {
        "@every": True,
        "@lifts-persons": one.lifts_persons,
        "@anchor": one.is_anchor,
        "@installed": one.installed,
    }
    return by_trait.get(group, group == f"@{one.material}")
