"""What there is to mend with: terms, the examiners' next free half-days, courses, who does what."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from readiness.rules.changes import SumsRedone
from readiness.rules.remedies.terms import Terms


@dataclass(frozen=True, slots=True)
class Slot:
    """Somebody authorised for the very things, and the end of the half-day in which they can."""

    person: str
    who: str
    begins: datetime
    ends: datetime

    @property
    def name(self) -> str:
        return f"half-day {self.person} {self.begins:%Y-%m-%d %H}"

    def booked_at(self, site: str) -> str:
        return f"{self.name} at {site}"

    def is_free(self, site: str, promised: frozenset[str]) -> bool:
        """Not taken by another site; several things at one site fit into it."""
        at = self.booked_at(site)
        return not any(one.startswith(self.name) and one != at for one in promised)


@dataclass(frozen=True, slots=True)
class Means:
    """`examiners` by 'kit RK-1' or 'anchor 7K2M9Q4A'; nobody authorised, no entry.

    `promised` are the things that open jobs take up already. `doers`, id and name, by site
    and kind of act. `redone`: by site and task, what sums that something has overtaken would give with
    the same figures and what is known now. `lives` names the clocks that only another part ends, `not_by_looking` those
    that no examination moves.
    """

    now: datetime
    terms: Terms
    examiners: Mapping[str, Slot] = field(default_factory=dict)
    courses: Mapping[tuple[str, str], tuple[date, ...]] = field(default_factory=dict)
    doers: Mapping[tuple[str, str], tuple[str, str]] = field(default_factory=dict)
    promised: frozenset[str] = frozenset()
    lives: frozenset[str] = frozenset()
    not_by_looking: frozenset[str] = frozenset()
    redone: Mapping[tuple[str, str], SumsRedone] = field(default_factory=dict)

    def ready(self, kind: str) -> datetime:
        return self.now + timedelta(hours=self.terms.lead_hours(kind))

    def doer(self, site: str, kind: str) -> tuple[str, str]:
        """Who does such things at the site: their id and name, or nobody."""
        return self.doers.get((site, kind), ("", ""))
