"""A site at one moment, and a key that is the same for all moments with the same answer."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import NamedTuple

from readiness.rules.months import months_after
from readiness.rules.situation import (
    ALWAYS,
    IN_SERVICE,
    NEVER,
    Anchor,
    Kit,
    Person,
    Pin,
    Situation,
    Task,
)
from readiness.rules.timeline import Timeline
from readiness.rules.windows import ALWAYS as ALL_TIME
from readiness.rules.windows import Steps, Window, midnight, steps

_DAY = timedelta(days=1)

Spell = tuple[date | None, date | None]
"""First and last good day; None is from the start, or never."""


@dataclass(frozen=True, slots=True)
class _Kept:
    """Of one kit or anchor: when it is here, when it can be got at, from when it is out or lacks."""

    here: Steps[bool]
    in_reach: Steps[bool]
    out_from: datetime | None
    lacks_from: datetime | None

    def at(self, at: datetime) -> _At:
        return _At(
            bool(self.here.at(at)),
            bool(self.in_reach.at(at)),
            out=self.out_from is None or self.out_from <= at,
            lacks=self.lacks_from is None or self.lacks_from <= at,
        )


class _At(NamedTuple):
    """The same at one moment."""

    here: bool
    in_reach: bool
    out: bool
    lacks: bool


class Moments:
    """Reads one timeline at many moments; what depends on the day alone is found once a day."""

    def __init__(self, timeline: Timeline) -> None:
        self.timeline = timeline
        self._dated: dict[date, Hashable] = {}
        self._spells = tuple(_spells(timeline))
        self._placed: dict[tuple[int, tuple[str, ...]], Person] = {}
        self._kits = [
            _kept(one.here, one.in_reach, one.out_from, one.lacks_from) for one in timeline.kits
        ]
        self._anchors = [_kept(one.here, ALL_TIME, one.out_from) for one in timeline.anchors]
        self._stays = [
            steps((stay.begins, stay.ends, stay.zone) for stay in one.stays)
            for one in timeline.people
        ]
        self._told = [
            stays
            for stays, one in zip(self._stays, timeline.people, strict=True)
            if one.person.competences
        ]
        """Who has never been trained serves nobody: where they are changes no answer."""
        self._works = [
            steps((work.begins, work.ends, work.exposed) for work in one.works)
            for one in timeline.tasks
        ]
        self._permits = [_pins(timeline, task.task.id) for task in timeline.tasks]

    def day(self, at: datetime) -> date:
        """What a calendar on site shows."""
        return at.astimezone(self.timeline.zone).date()

    def key(self, at: datetime) -> Hashable:
        """Equal keys, equal answers."""
        day = self.day(at)
        if day not in self._dated:
            self._dated[day] = tuple(_dated(self._spells, day))
        return (
            self._dated[day],
            tuple(kept.at(at) for kept in (*self._kits, *self._anchors)),
            tuple(stays.at(at) for stays in self._told),
            tuple(works.at(at) for works in self._works),
            tuple(permits.at(at) for permits in self._permits),
        )

    def situation(self, at: datetime) -> Situation:
        """What is really there at that moment, as the cover rule reads it."""
        timeline, day = self.timeline, self.day(at)
        kits = zip(timeline.kits, self._kits, strict=True)
        anchors = zip(timeline.anchors, self._anchors, strict=True)
        people = zip(timeline.people, self._stays, strict=True)
        tasks = zip(timeline.tasks, self._works, self._permits, strict=True)
        return Situation(
            on=day,
            kits=tuple(_kit(one.kit, kept.at(at)) for one, kept in kits if kept.here.at(at)),
            people=tuple(self._person(one.person, stays.at(at)) for one, stays in people),
            anchors=tuple(
                _anchor(one.anchor, kept.at(at)) for one, kept in anchors if kept.here.at(at)
            ),
            tasks=tuple(
                _task(one.task, works.at(at), permits.at(at), day)
                for one, works, permits in tasks
                if works.at(at)
            ),
            travel_minutes=timeline.travel_minutes,
            policy=timeline.policy,
            horizon_days=0,
        )

    def _person(self, person: Person, zones: tuple[str, ...]) -> Person:
        key = (id(person), zones)
        if key not in self._placed:
            self._placed[key] = _person(person, zones)
        return self._placed[key]

    def changes(self, first: datetime, last: datetime) -> list[datetime]:
        """The moments within at which any answer may change; `first` is one of them."""
        near, far = self.day(first), self.day(last)
        days = {day for day in _days(self._spells) if near <= day <= far}
        turns = {midnight(day, self.timeline.zone) for day in days}
        turns.update(_turns(self.timeline))
        return sorted({first, *(turn for turn in turns if first < turn < last)})


def _kept(
    here: Iterable[Window],
    in_reach: Iterable[Window],
    out_from: datetime | None,
    lacks_from: datetime | None = None,
) -> _Kept:
    return _Kept(
        here=steps((*window, True) for window in here),
        in_reach=steps((*window, True) for window in in_reach),
        out_from=out_from,
        lacks_from=lacks_from,
    )


def _pins(timeline: Timeline, task: str) -> Steps[Pin]:
    return steps((one.begins, one.ends, one.pin) for one in timeline.permits if one.task == task)


def _kit(kit: Kit, at: _At) -> Kit:
    locked = kit.locked or not at.in_reach
    condition = kit.condition if at.out else IN_SERVICE
    missing = kit.missing if at.lacks else ()
    if (locked, condition, missing) == (kit.locked, kit.condition, kit.missing):
        return kit
    return replace(kit, locked=locked, condition=condition, missing=missing)


def _anchor(anchor: Anchor, at: _At) -> Anchor:
    return anchor if at.out else replace(anchor, condition=IN_SERVICE)


def _person(person: Person, zones: tuple[str, ...]) -> Person:
    """Who is in two places at once, by the rota, is nowhere in reach."""
    zone = zones[0] if len(set(zones)) == 1 else ""
    return replace(person, zone=zone, on_site=ALWAYS if zones else NEVER)


def _task(
    task: Task, exposed: tuple[tuple[str, ...], ...], pins: tuple[Pin, ...], day: date
) -> Task:
    """Of two permits for the same work at once, the one that was signed first holds."""
    named = dict.fromkeys(name for names in exposed for name in names)
    pin = min(pins, key=lambda one: one.order, default=None)
    return replace(task, exposed=tuple(named), starts_on=day, ends_on=day, pinned=pin)


def _turns(timeline: Timeline) -> Iterator[datetime]:
    """Arrivals and departures, hours and keys, and the moments at which things went out."""
    for kit in timeline.kits:
        yield from (turn for window in (*kit.here, *kit.in_reach) for turn in window)
        yield from (moment for moment in (kit.out_from, kit.lacks_from) if moment)
    for anchor in timeline.anchors:
        yield from (turn for window in anchor.here for turn in window)
        yield from (anchor.out_from,) if anchor.out_from else ()
    for person in timeline.people:
        yield from (turn for stay in person.stays for turn in (stay.begins, stay.ends))
    for task in timeline.tasks:
        yield from (turn for work in task.works for turn in (work.begins, work.ends))
    yield from (turn for permit in timeline.permits for turn in (permit.begins, permit.ends))


def _days(spells: Iterable[Spell]) -> Iterator[date]:
    """Days at whose beginning something is no longer, or newly, in date."""
    for first, last in spells:
        if first is not None:
            yield first
        if last is not None and last < date.max:
            yield last + _DAY


def _spells(timeline: Timeline) -> Iterator[Spell]:
    """First and last good day of everything that has one, always in the same order."""
    for kit in timeline.kits:
        yield from ((None, clock.due) for clock in kit.kit.clocks)
    yield from ((None, one.anchor.due) for one in timeline.anchors)
    for person in timeline.people:
        yield from ((held.valid_from, held.valid_to) for held in person.person.competences)
    for task in timeline.tasks:
        plan, policy = task.task.plan, timeline.policy
        if plan is None:
            continue
        if plan.reviewed is not None:
            yield None, months_after(plan.reviewed, policy.plan_review_months)
        if plan.drill is not None:
            yield None, months_after(plan.drill.on, policy.drill_months)


def _dated(spells: Iterable[Spell], day: date) -> Iterator[bool]:
    for first, last in spells:
        begun = first is None or first <= day
        yield begun
        yield last is not None and day <= last
