"""What was answered about one file, between the plain values that are kept and the plan's own types."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from inspections.models import Intake
from register.intake.choices import Choices
from register.intake.columns import Guess, guess_from_json
from register.intake.keys import name_key
from register.models import Site
from register.rules.serials import serial_key


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """mapping: columns by sheet. inspector: who answers for inspections that name nobody.

    site: code of the site of lines that name none. The rest as in register.intake.choices.
    """

    mapping: Mapping[str, Guess]
    date_order: str = ""
    maker: str = ""
    inspector: str = ""
    site: str = ""
    sites: Mapping[str, str] = field(default_factory=dict)
    classes: Mapping[str, str] = field(default_factory=dict)
    confirmed: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()

    def choices(self, on: date) -> Choices:
        """As the plan takes them; a line goes only to a site that was chosen for its text."""
        own = {name_key(self.site): self.site} if self.site else {}
        return Choices(
            on=on,
            date_order=self.date_order,
            maker=self.maker,
            site=self.site,
            sites={**self.sites, **own},
            classes=self.classes,
            confirmed_serials=frozenset(map(serial_key, self.confirmed)),
            left_out=frozenset(self.left_out),
        )


def answers_of(intake: Intake) -> Answers:
    """The answers as kept; what was never asked has its safe reading."""
    kept: dict[str, Any] = intake.choices
    return Answers(
        mapping={name: guess_from_json(one) for name, one in intake.mapping.items()},
        date_order=kept.get("date_order", ""),
        maker=kept.get("maker", ""),
        inspector=kept.get("inspector", ""),
        site=kept.get("site", ""),
        sites=kept.get("sites", {}),
        classes=kept.get("classes", {}),
        confirmed=tuple(kept.get("confirmed", ())),
        left_out=tuple(kept.get("left_out", ())),
    )


def sites_guessed(texts: Iterable[str], sites: Iterable[Site]) -> dict[str, str]:
    """Text by `name_key` -> site code, where the text is a site's code or name or begins like it.

    'Corrick Quay grain terminal' is Corrick Quay, unless two sites fit as well.
    """
    names = [(name_key(text), site.code) for site in sites for text in (site.code, site.name)]
    found = {}
    for text in map(name_key, texts):
        exact = {code for name, code in names if name == text}
        near = {code for name, code in names if _begins_alike(name, text)}
        fits = exact or near
        if len(fits) == 1:
            found[text] = fits.pop()
    return found


def _begins_alike(one: str, other: str) -> bool:
    return bool(one and other) and (one.startswith(other) or other.startswith(one))
