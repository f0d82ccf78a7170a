"""What happened since yesterday that bears on the day: quarantines, people taken off the rota."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from inspections.conditions import overdue_on
from readiness.models import RotaEntry
from register.clock import day_at
from register.models import Entry, Item, Person, Site
from register.rules.conditions import Condition
from register.wording import quarantine_reason

MOST_SHOWN = 8
"""Named one by one; those after them are counted."""


@dataclass(frozen=True, slots=True)
class Quarantined:
    item: Item
    why: str


@dataclass(frozen=True, slots=True)
class Absent:
    """Taken off today's rota since yesterday, and not put on again."""

    person: Person
    site: Site
    shift: str


@dataclass(frozen=True, slots=True)
class Since:
    """`overdue`: pieces that somebody holds though a date of theirs has passed or is not known."""

    overdue: int
    quarantined: tuple[Quarantined, ...]
    more_quarantined: int
    absent: tuple[Absent, ...]

    @property
    def quiet(self) -> bool:
        return not (self.overdue or self.quarantined or self.absent)


def since_yesterday(sites: Sequence[Site], at: datetime) -> Since:
    """Of these sites, in a fixed number of queries; yesterday begins at midnight UTC."""
    begun = at.replace(hour=0, minute=0, second=0, microsecond=0) - timedelta(days=1)
    out = _quarantined(sites, begun)
    return Since(
        overdue=_overdue(sites, at),
        quarantined=out[:MOST_SHOWN],
        more_quarantined=len(out[MOST_SHOWN:]),
        absent=tuple(_absent(sites, begun, at)),
    )


def _overdue(sites: Sequence[Site], at: datetime) -> int:
    """The latest of the sites' days: what is out of date anywhere is counted."""
    day = max((day_at(site, at) for site in sites), default=at.date())
    return Item.objects.filter(overdue_on(day), site__in=sites, custody="person").count()


def _quarantined(sites: Sequence[Site], begun: datetime) -> tuple[Quarantined, ...]:
    items = Item.objects.filter(
        site__in=sites, condition=Condition.QUARANTINED, quarantined_at__gte=begun
    )
    newest = items.select_related("product", "site").order_by("-quarantined_at", "pk")
    return tuple(Quarantined(item, quarantine_reason(item.quarantine_reason)) for item in newest)


def _absent(sites: Sequence[Site], begun: datetime, at: datetime) -> Iterator[Absent]:
    by_code = {site.code: site for site in sites}
    taken: dict[tuple[int, str, str], None] = {}
    for entry in Entry.objects.filter(
        act__verb="take-off-rota", act__at__gte=begun, thing_kind="person"
    ).order_by("pk"):
        site = by_code.get(str(entry.facts["site"]))
        if site and day_at(site, at).isoformat() in _days(entry.facts):
            taken[int(entry.thing_id), site.code, str(entry.facts["shift"])] = None
    people = Person.objects.in_bulk([person for person, _, _ in taken])
    there = _there(list(people), by_code, at)
    for person, code, shift in taken:
        if person in people and (person, code, shift) not in there:
            yield Absent(people[person], by_code[code], shift)


def _days(facts: Mapping[str, object]) -> list[str]:
    days = facts["days"]
    return [str(day) for day in days] if isinstance(days, list) else []


def _there(
    people: Sequence[int], by_code: Mapping[str, Site], at: datetime
) -> set[tuple[int, str, str]]:
    """Those on today's rota after all, with site and shift."""
    days = {day_at(site, at) for site in by_code.values()}
    entries = RotaEntry.objects.filter(person__in=people, day_on__in=days)
    return {
        (entry.person_id, entry.site.code, entry.shift.name)
        for entry in entries.select_related("site", "shift")
        if entry.day_on == day_at(entry.site, at)
    }
