"""All that one feed tells, as far as its owner may see it now."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import chain

from inspections.calendars.dues import DUE, dues, hires, not_known, to_bring_back
from inspections.calendars.grouping import Wanted
from inspections.calendars.visits import visits
from readiness.calendars.lapses import lapses_of
from readiness.calendars.own import jobs, trainings
from register.clock import day_at
from register.models import CalendarFeed, Person, Site
from register.rules.calendar import Happening


@dataclass(frozen=True, slots=True)
class Rights:
    """The sites of which the owner may see each: what falls due, who visits, what lapses."""

    dues: Sequence[Site]
    visits: Sequence[Site]
    lapses: Sequence[Site]


@dataclass(frozen=True, slots=True)
class Gathered:
    """What there is to tell, the topics of which nothing is known just now, and the day it is."""

    happenings: Sequence[Happening]
    unknown: frozenset[str]
    today: date


def gathered(feed: CalendarFeed, rights: Rights, at: datetime) -> Gathered:
    """`rights` hold the feed's own site alone where it is about one."""
    person = feed.user.person if feed.about == CalendarFeed.About.OWN else None
    asked = list(_wanted(rights.dues, at, feed.equipment_class, person))
    seen = list(_wanted(rights.visits, at, feed.equipment_class, person))
    found = [*_of_days(asked, seen)]
    unknown = {DUE} if any(not_known(one) for one in asked) else set()
    if feed.about == CalendarFeed.About.SITE:
        told, not_judged = lapses_of(list(rights.lapses), at)
        found += told
        unknown |= not_judged
    if person:
        found += [*trainings(person, _today(rights.dues, at)), *jobs(person)]
    return Gathered(_each_once(found), frozenset(unknown), _today(rights.dues, at))


def _of_days(asked: Iterable[Wanted], seen: Iterable[Wanted]) -> Iterator[Happening]:
    for one in asked:
        yield from chain(dues(one), hires(one))
        if one.person:
            yield from to_bring_back(one)
    for one in seen:
        yield from visits(one)


def _wanted(
    sites: Sequence[Site], at: datetime, equipment_class: str, person: Person | None
) -> Iterator[Wanted]:
    """Sites on which it is the same day are asked about together."""
    for today, group in _by_day(sites, at).items():
        yield Wanted(group, today, equipment_class, person)


def _by_day(sites: Sequence[Site], at: datetime) -> Mapping[date, list[Site]]:
    found: dict[date, list[Site]] = {}
    for site in sites:
        found.setdefault(day_at(site, at), []).append(site)
    return found


def _today(sites: Sequence[Site], at: datetime) -> date:
    """The earliest of the sites' days: nothing is over before it is over everywhere."""
    return min((day_at(site, at) for site in sites), default=at.date())


def _each_once(found: Iterable[Happening]) -> list[Happening]:
    return list({one.key: one for one in found}.values())
