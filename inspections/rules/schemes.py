"""Jurisdiction files: how often each class of equipment is inspected, with the source of each line."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from inspections.rules.kinds import KINDS
from register.rules.classes import CLASSES, USE_CLASSES, EquipmentClass

LastDayRule = Literal["inclusive", "day-before"]

# How far the source of a line was checked.
STATUSES = (
    "read",
    "read-2",
    "from memory, to be verified",
    "common practice, no source",
    "policy",
)
_LAST_DAY_RULES = ("inclusive", "day-before")
_GROUPS = ("@every", "@textile", "@metal", "@mechanical", "@mixed", "@lifts-persons", "@anchor")
_GROUPS_BUT = tuple(f"@not-{group[1:]}" for group in _GROUPS[1:])
_EVERY = "every"


class SchemeError(ValueError):
    """A jurisdiction file that cannot be used; the text names the file and the place in it."""


@dataclass(frozen=True, slots=True)
class Interval:
    """The longest time between two inspections of a kind, and who says so."""

    months: int
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class Line:
    """One rule: these classes in these uses have this kind of inspection within the interval."""

    classes: frozenset[str]
    uses: frozenset[str]
    kind: str
    interval: Interval


@dataclass(frozen=True, slots=True)
class Scheme:
    """One jurisdiction, or one employer's own shorter regime.

    last_day_rule: 'inclusive' where the day after n months is the last good day, 'day-before'
    where equipment must have been examined less than n months before it is used.
    """

    slug: str
    name: str
    last_day_rule: LastDayRule
    last_day_source: str
    lines: tuple[Line, ...]


def interval(
    schemes: Iterable[Scheme],
    class_slug: str,
    use_class: str,
    kind: str,
    *,
    own: Iterable[Interval] = (),
) -> Interval | None:
    """The shortest interval of all schemes and of own (the maker's, the employer's); None if none.

    Nothing here can lengthen an interval: a scheme or an employer only ever adds candidates.
    """
    found = [
        line.interval
        for scheme in schemes
        for line in scheme.lines
        if line.kind == kind and class_slug in line.classes and use_class in line.uses
    ]
    return min((*found, *own), key=lambda one: (one.months, one.source), default=None)


def last_day_rule(schemes: Iterable[Scheme]) -> LastDayRule:
    """The strictest of the schemes an item is under."""
    strict = any(scheme.last_day_rule == "day-before" for scheme in schemes)
    return "day-before" if strict else "inclusive"


def read_scheme(text: str, file: str = "scheme file") -> Scheme:
    """The scheme in a JSON text; SchemeError names the file and the line or key that is wrong."""
    try:
        raw = json.loads(text)
    except json.JSONDecodeError as error:
        raise SchemeError(f"{file}, line {error.lineno}: not JSON: {error.msg}") from error
    if not isinstance(raw, dict):
        raise SchemeError(f"{file}: the file must hold one object in braces")
    _only_keys(raw, {"scheme", "name", "last_day_rule", "last_day_source", "intervals"}, file)
    lines = raw["intervals"]
    if not isinstance(lines, list) or not lines:
        raise SchemeError(f"{file}, intervals: must be a list with at least one line")
    return Scheme(
        _text(raw, "scheme", file),
        _text(raw, "name", file),
        _one_of(raw, "last_day_rule", _LAST_DAY_RULES, file),  # type: ignore[arg-type]
        _text(raw, "last_day_source", file),
        tuple(_line(line, f"{file}, intervals[{at}]") for at, line in enumerate(lines)),
    )


def _line(raw: object, place: str) -> Line:
    if not isinstance(raw, dict):
        raise SchemeError(f"{place}: must be an object in braces")
    _only_keys(raw, {"classes", "uses", "kind", "months", "source", "status"}, place)
    months = raw["months"]
    if type(months) is not int or months < 1:
        raise SchemeError(f"{place}.months: {months!r} is not a whole number of months from 1 up")
    return Line(
        _classes(_texts(raw, "classes", place), f"{place}.classes"),
        _uses(_texts(raw, "uses", place), f"{place}.uses"),
        _one_of(raw, "kind", tuple(KINDS), place),
        Interval(months, _text(raw, "source", place), _one_of(raw, "status", STATUSES, place)),
    )


def _only_keys(raw: dict[str, object], keys: set[str], place: str) -> None:
    for key in sorted(keys - raw.keys()):
        raise SchemeError(f"{place}: the key {key!r} is missing")
    for key in sorted(raw.keys() - keys):
        raise SchemeError(f"{place}: the key {key!r} is not known")


def _text(raw: dict[str, object], key: str, place: str) -> str:
    value = raw[key]
    if not isinstance(value, str) or not value.strip():
        raise SchemeError(f"{place}.{key}: must be a text that says something")
    return value


def _one_of(raw: dict[str, object], key: str, allowed: tuple[str, ...], place: str) -> str:
    value = _text(raw, key, place)
    if value not in allowed:
        raise SchemeError(f"{place}.{key}: {value!r} is not one of {', '.join(allowed)}")
    return value


def _texts(raw: dict[str, object], key: str, place: str) -> list[str]:
    value = raw[key]
    if not isinstance(value, list) or not value or not all(isinstance(one, str) for one in value):
        raise SchemeError(f"{place}.{key}: must be a list of texts, not an empty one")
    return value


def _classes(names: list[str], place: str) -> frozenset[str]:
    return frozenset(slug for name in names for slug in _classes_called(name, place))


def _classes_called(name: str, place: str) -> list[str]:
    if name in CLASSES:
        return [name]
    if name not in (*_GROUPS, *_GROUPS_BUT):
        raise SchemeError(f"{place}: {name!r} is no class and none of {', '.join(_GROUPS)}")
    inside = {slug for slug, one in CLASSES.items() if _belongs(one, name.replace("@not-", "@"))}
    return [slug for slug in CLASSES if (slug in inside) != name.startswith("@not-")]


def _belongs(one: EquipmentClass, group: str) -> bool:
    if group == "@lifts-persons":
        return one.lifts_persons
    if group == "@anchor":
        return one.is_anchor
    return group in {"@every", f"@{one.material}"}


def _uses(names: list[str], place: str) -> frozenset[str]:
    for name in names:
        if name != _EVERY and name not in USE_CLASSES:
            raise SchemeError(
                f"{place}: {name!r} is not {_EVERY} or one of {', '.join(USE_CLASSES)}"
            )
    return frozenset(USE_CLASSES) if _EVERY in names else frozenset(names)
