"""One day of one task as a strip of hours, and in words: from change to change."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from itertools import pairwise

from django.utils.translation import gettext as _

from readiness.board.answers import Told, told
from readiness.board.days import day_of
from readiness.rules.line import NOT_WORKED, Drawing, strip
from readiness.rules.statement import Piece, Statement
from readiness.wording import clock_words, listed

WIDTH, HEIGHT, MARKS = 392, 28, 8
"""Marked every three hours."""


@dataclass(frozen=True, slots=True)
class HourPiece:
    """From a change until the next, by the clock on site. `told` is None while nobody works.

    `change` says what is other than just before; `chosen`: it holds the hour that was asked for.
    """

    begins: str
    ends: str
    told: Told | None
    change: str
    chosen: bool

    @property
    def hours(self) -> str:
        return f"{self.begins}–{self.ends}"


@dataclass(frozen=True, slots=True)
class Strip:
    drawing: Drawing
    pieces: tuple[HourPiece, ...]

    @property
    def worked(self) -> bool:
        return any(piece.told for piece in self.pieces)

    @property
    def listed(self) -> tuple[HourPiece, ...]:
        """Hours without work are told only where they were asked for."""
        return tuple(piece for piece in self.pieces if piece.told or piece.chosen)

    @property
    def words(self) -> str:
        said = [
            f"{piece.hours} {piece.told.state_words if piece.told else _('not worked')}"
            for piece in self.pieces
        ]
        return "; ".join(said) + "."


def strip_of(statement: Statement, task: str, day: date, at: datetime) -> Strip | None:
    """None where the statement does not reach the day."""
    begins, ends = day_of(statement, day)
    pieces = statement.pieces(task, begins, ends)
    if not pieces:
        return None
    states = [(_state(one), (one.ends - one.begins).total_seconds()) for one in pieces]
    return Strip(strip(states, WIDTH, HEIGHT, MARKS), _hour_pieces(statement, pieces, at))


def _state(piece: Piece) -> str:
    return piece.answer.state if piece.answer else NOT_WORKED


def _hour_pieces(
    statement: Statement, pieces: tuple[Piece, ...], at: datetime
) -> tuple[HourPiece, ...]:
    words = [told(one.answer, statement.names) if one.answer else None for one in pieces]
    changes = ["", *(change_words(before, then) for before, then in pairwise(words))]
    return tuple(
        HourPiece(
            begins=clock_words(piece.begins, statement.zone),
            ends=clock_words(piece.ends, statement.zone).replace("00:00", "24:00"),
            told=said,
            change=change,
            chosen=piece.begins <= at < piece.ends,
        )
        for piece, said, change in zip(pieces, words, changes, strict=True)
    )


def change_words(before: Told | None, then: Told | None) -> str:
    """What is other from one piece to the next, where the state alone does not say it."""
    if before is None or then is None:
        return ""
    if before.uncovered and then.uncovered:
        return _news(before.reasons, then.reasons)
    if before.uncovered or then.uncovered:
        return ""
    if before.hangs_on != then.hangs_on:
        return _hanging(before, then)
    return _serving(before, then)


def _news(before: tuple[str, ...], then: tuple[str, ...]) -> str:
    gone = [reason for reason in before if reason not in then]
    return _("No longer so: %(reasons)s") % {"reasons": " ".join(gone)} if gone else ""


def _hanging(before: Told, then: Told) -> str:
    more = [thing for thing in then.hangs_on if thing not in before.hangs_on]
    if more:
        return _("Now hangs on %(things)s.") % {"things": listed(more)}
    less = [thing for thing in before.hangs_on if thing not in then.hangs_on]
    return _("No longer hangs on %(things)s.") % {"things": listed(less)}


def _serving(before: Told, then: Told) -> str:
    if before.serves is None or then.serves is None or before.serves == then.serves:
        return ""
    had = {before.serves.kit, before.serves.anchor, *before.serves.people}
    has = (then.serves.kit, *then.serves.people, then.serves.anchor)
    new = [thing for thing in has if thing not in had]
    return _("Now by %(things)s.") % {"things": listed(new)} if new else ""
