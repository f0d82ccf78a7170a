"""Cover with changes that count from their moment on: time is split there, and joined again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import pairwise
from typing import Protocol

from readiness.rules.slices import Solver
from readiness.rules.spans import Span, spans
from readiness.rules.timeline import Timeline


class Change(Protocol):
    """One thing that is otherwise than it was."""

    def of(self, timeline: Timeline) -> Timeline: ...


@dataclass(frozen=True, slots=True)
class Dated:
    """A change, and the moment from which it counts: when it is done, never when it is asked for."""

    at: datetime
    change: Change


def changed(timeline: Timeline, made: Sequence[Dated], at: datetime) -> Timeline:
    """As it stands at the moment, with every change made by then; in the order of their moments."""
    for one in sorted(made, key=lambda dated: dated.at):
        if one.at <= at:
            timeline = one.change.of(timeline)
    return timeline


def stretches(
    timeline: Timeline, made: Sequence[Dated], first: datetime, last: datetime
) -> Iterator[tuple[datetime, datetime, Timeline]]:
    """From `first` until `last`, each stretch with the timeline that holds in it."""
    moments = sorted({first, last, *(one.at for one in made if first < one.at < last)})
    for begins, ends in pairwise(moments):
        yield begins, ends, changed(timeline, made, begins)


def changed_spans(
    timeline: Timeline,
    made: Sequence[Dated],
    first: datetime,
    last: datetime,
    solver: Solver | None = None,
) -> tuple[Span, ...]:
    """As `spans`; before its moment a change does not count."""
    solver = solver or Solver()
    found: list[Span] = []
    for begins, ends, then in stretches(timeline, made, first, last):
        for span in spans(then, begins, ends, solver):
            if found and found[-1].answers == span.answers:
                found[-1] = replace(found[-1], ends=span.ends)
            else:
                found.append(span)
    return tuple(found)
