"""The weeks ahead of one site, with the last day on which to act on what will be short."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from readiness.facts import timelines
from readiness.facts.remedies import terms_in_force
from readiness.rules.look_ahead import Need, WeekAhead, weeks_ahead
from readiness.wording.ahead import need_words
from register.models import Site

LEAD = {
    "kits": "hire-kit",
    "rescuers": "refresher",
    "first-aiders": "refresher",
    "anchors": "install-anchor",
    "plans": "write-plan",
    "drills": "drill",
    "facts": "review-plan",
}
"""For each thing that may be short, the act whose lead time counts."""


@dataclass(frozen=True, slots=True)
class Shortage:
    """What is short, and the last day on which to begin with it."""

    need: Need
    words: str
    act_by: date
    late: bool


@dataclass(frozen=True, slots=True)
class Ahead:
    """One week with its shortages, the most pressing first."""

    week: WeekAhead
    last_on: date
    shortages: tuple[Shortage, ...]


def ahead_of(site: Site, day: date, count: int) -> list[Ahead]:
    """From the week of the day on; weeks without work at height are told as such."""
    (timeline,) = timelines([site], day, day + timedelta(weeks=count))
    terms = terms_in_force()
    leads = {kind: terms.lead_hours(act) for kind, act in LEAD.items()}
    return [
        Ahead(
            week=week,
            last_on=week.monday + timedelta(days=6),
            shortages=tuple(
                sorted(
                    (_shortage(need, leads[need.kind], day) for need in week.shortages),
                    key=lambda one: one.act_by,
                )
            ),
        )
        for week in weeks_ahead(timeline, day, count)
    ]


def _shortage(need: Need, lead_hours: float, day: date) -> Shortage:
    """Lead times are rounded up to whole days."""
    act_by = need.first_on - timedelta(days=-(-lead_hours // 24))
    return Shortage(need, need_words(need), act_by, late=act_by < day)
