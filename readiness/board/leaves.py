"""A request for leave: what would be uncovered, solved for every site at which the person is wanted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from readiness.board.answers import Told, told
from readiness.facts import timelines
from readiness.models import RotaEntry
from readiness.rules.absence import Loss, losses
from readiness.rules.statement import names_in
from readiness.rules.timeline import Timeline
from readiness.rules.windows import midnight
from readiness.wording import hours_words
from register.models import Person, Site

_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Missed:
    """A task in the hours in which it would be worse off."""

    site: Site
    task: str
    hours: str
    told: Told


@dataclass(frozen=True, slots=True)
class LeaveBoard:
    """`sites`: where the person is on the rota on those days."""

    person: Person
    first: date
    last: date
    sites: tuple[Site, ...]
    uncovered: tuple[Missed, ...]
    weaker: tuple[Missed, ...]


def leave_board(
    person: Person, first: date, last: date, sites: Sequence[Site], at: datetime
) -> LeaveBoard:
    """Of these sites; both days are days of leave."""
    wanted = RotaEntry.objects.filter(person=person, site__in=sites, day_on__range=(first, last))
    there = list(Site.objects.filter(pk__in=wanted.values("site")))
    found = [
        (site, timeline, loss)
        for site, timeline in zip(there, timelines(there, first, last + _DAY), strict=True)
        for loss in _losses(timeline, person, first, last)
    ]
    return LeaveBoard(
        person=person,
        first=first,
        last=last,
        sites=tuple(there),
        uncovered=tuple(_missed(*one, at) for one in found if one[2].uncovers),
        weaker=tuple(_missed(*one, at) for one in found if not one[2].uncovers),
    )


def _losses(timeline: Timeline, person: Person, first: date, last: date) -> Iterator[Loss]:
    leave = (midnight(first, timeline.zone), midnight(last + _DAY, timeline.zone))
    yield from losses(timeline, str(person.pk), leave)


def _missed(site: Site, timeline: Timeline, loss: Loss, at: datetime) -> Missed:
    hours = hours_words(loss.begins, loss.ends, at, timeline.zone)
    return Missed(site, loss.task, hours, told(loss.then, names_in(timeline)))
