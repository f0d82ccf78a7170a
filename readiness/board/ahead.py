"""One task over the hours ahead, as a statement of cover says: its worst, and when it lapses."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.urls import reverse

from readiness.board.answers import Told, told
from readiness.rules.spans import WORST_FIRST
from readiness.rules.statement import Piece, Statement
from readiness.wording import hours_words

LOOK_AHEAD = timedelta(hours=24)
"""What the morning answers for: a day and the night after it."""

_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class TaskAhead:
    """The worst piece of the hours ahead, whole; `hours` says when, in words."""

    id: str
    name: str
    url: str
    piece: Piece
    hours: str
    told: Told
    lapse: Piece | None

    @property
    def state(self) -> str:
        return self.told.state

    @property
    def uncovered(self) -> bool:
        return self.told.uncovered

    @property
    def needs_cover(self) -> bool:
        return self.state != "no-rescue-cover-needed"

    @property
    def trouble(self) -> tuple[int, datetime, str]:
        """The worst first, then the soonest."""
        return (WORST_FIRST.index(self.state), self.piece.begins, self.id)


def tasks_ahead(statement: Statement, at: datetime) -> tuple[TaskAhead, ...]:
    """All that are worked on in the next 24 hours, whichever shift has begun them; worst first."""
    names = statement.tasks(at, at + LOOK_AHEAD)
    found = [task_ahead(statement, task, at) for task in names]
    return tuple(sorted((one for one in found if one), key=lambda one: one.trouble))


def task_ahead(statement: Statement, task: str, at: datetime) -> TaskAhead | None:
    """None where nobody works on it in the next 24 hours."""
    worst = statement.worst(task, at, at + LOOK_AHEAD)
    if worst is None or worst.answer is None:
        return None
    piece = whole(statement, task, worst)
    return TaskAhead(
        id=task,
        name=statement.names.tasks.get(task, ""),
        url=reverse("readiness:task-detail", args=[statement.site, task]),
        piece=piece,
        hours=hours_words(piece.begins, piece.ends, at, statement.zone),
        told=told(worst.answer, statement.names),
        lapse=statement.lapse(task, at),
    )


def whole(statement: Statement, task: str, piece: Piece) -> Piece:
    """The piece as long as it really lasts: not cut to the window it was looked for in."""
    around = statement.pieces(task, piece.begins - _DAY, statement.ends)
    return next(one for one in around if one.begins <= piece.begins < one.ends)
