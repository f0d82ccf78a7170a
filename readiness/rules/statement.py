"""A dated statement of a site's rescue cover over time, and what may be asked of it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from readiness.rules.cover import Answer
from readiness.rules.facts_hash import facts_hash
from readiness.rules.slices import Solver
from readiness.rules.spans import Span, spans, worst
from readiness.rules.timeline import Hours, Timeline
from readiness.rules.windows import midnight

HORIZON_DAYS = 90
"""How far ahead a statement looks, its own day not counted."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One task's answer from a moment until another; None while it is not worked on."""

    begins: datetime
    ends: datetime
    answer: Answer | None


@dataclass(frozen=True, slots=True)
class Names:
    """What people on site call each task, the zone it is done in, each kit, person and anchor."""

    tasks: Mapping[str, str] = field(default_factory=dict)
    zones: Mapping[str, str] = field(default_factory=dict)
    kits: Mapping[str, str] = field(default_factory=dict)
    people: Mapping[str, str] = field(default_factory=dict)
    anchors: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Statement:
    """`facts` is the hash of all that was known at `made_at`; the spans follow one another.

    `zone` is the clock of the site; `hours` are each task's shifts by that clock. `undeclared` and `staffed` are those of the timeline.
    """

    site: str
    zone: ZoneInfo
    made_at: datetime
    facts: str
    spans: tuple[Span, ...]
    names: Names = field(default_factory=Names)
    undeclared: int = 0
    staffed: bool = True
    hours: Mapping[str, tuple[Hours, ...]] = field(default_factory=dict)

    @property
    def begins(self) -> datetime:
        return self.spans[0].begins

    @property
    def ends(self) -> datetime:
        return self.spans[-1].ends

    def at(self, moment: datetime) -> Span | None:
        """The span that holds the moment; None before and after all of them."""
        place = bisect_right(self.spans, moment, key=lambda span: span.begins) - 1
        found = self.spans[place] if place >= 0 else None
        return found if found is not None and moment < found.ends else None

    def between(self, first: datetime, last: datetime) -> Iterator[Span]:
        """The spans that share a moment with the window, whole."""
        return (span for span in self.spans if span.begins < last and first < span.ends)

    def tasks(self, first: datetime, last: datetime) -> tuple[str, ...]:
        """All that are worked on within the window, by name."""
        found = {task for span in self.between(first, last) for task in span.answers}
        return tuple(sorted(found))

    def pieces(self, task: str, first: datetime, last: datetime) -> tuple[Piece, ...]:
        """The task's answers along the window, cut to it; neighbours with one answer are one."""
        found: list[Piece] = []
        for span in self.between(first, last):
            answer = span.answers.get(task)
            begins, ends = max(span.begins, first), min(span.ends, last)
            if found and found[-1].answer == answer:
                begins = found.pop().begins
            found.append(Piece(begins, ends, answer))
        return tuple(found)

    def worst(self, task: str, first: datetime, last: datetime) -> Piece | None:
        """The piece that stands for the window: the worst, the earliest of those."""
        worked = [piece for piece in self.pieces(task, first, last) if piece.answer]
        answer = worst(piece.answer for piece in worked if piece.answer)
        return next((piece for piece in worked if piece.answer == answer), None)

    def lapse(self, task: str, after: datetime) -> Piece | None:
        """The first piece after the moment in which the task is worked on and not covered."""
        ahead = self.pieces(task, after, self.ends)
        return next((one for one in ahead if one.answer and one.answer.uncovered), None)


def state(
    timeline: Timeline,
    day: date,
    made_at: datetime,
    solver: Solver | None = None,
    facts: str = "",
) -> Statement:
    """From the midnight with which `day` begins on site through the horizon.

    `facts` is the hash of the timeline where that is known already.
    """
    last = midnight(day + timedelta(days=HORIZON_DAYS + 1), timeline.zone)
    return Statement(
        site=timeline.site,
        zone=timeline.zone,
        made_at=made_at,
        facts=facts or facts_hash(timeline),
        spans=spans(timeline, midnight(day, timeline.zone), last, solver),
        names=names_in(timeline),
        hours={one.task.id: one.shifts for one in timeline.tasks},
        undeclared=timeline.undeclared,
        staffed=timeline.staffed,
    )


def names_in(timeline: Timeline) -> Names:
    return Names(
        tasks={one.task.id: one.task.name for one in timeline.tasks},
        zones={one.task.id: _called(one.task.zone, timeline) for one in timeline.tasks},
        kits={one.kit.id: one.kit.name or one.kit.id for one in timeline.kits},
        people={one.person.id: one.person.name for one in timeline.people},
        anchors={one.anchor.id: one.anchor.name or one.anchor.id for one in timeline.anchors},
    )


def _called(zone: str, timeline: Timeline) -> str:
    return timeline.places.get(zone, zone)
