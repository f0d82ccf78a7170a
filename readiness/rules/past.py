"""How much of each shift of a task was covered, by what was stated while it ran."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from readiness.rules.statement import Piece, Statement
from readiness.rules.timeline import Hours
from readiness.rules.windows import Window, hours_of

_DAY = timedelta(days=1)
_MINUTE = timedelta(minutes=1)
WITH_BACKUP = "covered-with-backup"


@dataclass(frozen=True, slots=True)
class ShiftPart:
    """Of one task's shift that began on `day`: the minutes of a stretch of time that needed cover,
    that had it, and that had it with backup."""

    task: str
    day: date
    begins: datetime
    ends: datetime
    minutes: float
    covered: float
    backed: float


def shift_parts(statement: Statement, first: datetime, last: datetime) -> Iterator[ShiftPart]:
    """What the statement says of the time from `first` until `last`, shift by shift.

    Added up over the statements that were in force one after the other, they are whole shifts.
    Not assessed counts as not covered.
    """
    first, last = max(first, statement.begins), min(last, statement.ends)
    if first >= last:
        return
    for task, shifts in statement.hours.items():
        for day in _days(statement, first, last):
            for begins, ends in shifts:
                yield from _part(statement, task, day, (begins, ends), (first, last))


def _days(statement: Statement, first: datetime, last: datetime) -> Iterator[date]:
    """A shift of the day before may run into the first."""
    day, end = (
        first.astimezone(statement.zone).date() - _DAY,
        last.astimezone(statement.zone).date(),
    )
    while day <= end:
        yield day
        day += _DAY


def _part(
    statement: Statement, task: str, day: date, shift: Hours, edges: Window
) -> Iterator[ShiftPart]:
    begins, ends = hours_of(day, *shift, statement.zone)
    pieces = statement.pieces(task, max(begins, edges[0]), min(ends, edges[1]))
    needing = [piece for piece in pieces if piece.answer and _needs(piece)]
    if needing:
        covered = [piece for piece in needing if piece.answer and piece.answer.covered]
        backed = [one for one in covered if one.answer and one.answer.state == WITH_BACKUP]
        sums = (_minutes(needing), _minutes(covered), _minutes(backed))
        yield ShiftPart(task, day, begins, ends, *sums)


def _needs(piece: Piece) -> bool:
    return piece.answer is not None and piece.answer.state != "no-rescue-cover-needed"


def _minutes(pieces: list[Piece]) -> float:
    return sum(((piece.ends - piece.begins) / _MINUTE for piece in pieces), 0.0)
