"""What became of answers that somebody relied on: cover that was lost, and promises that broke."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from readiness.rules.cover import Answer
from readiness.rules.needs import exceeds
from readiness.rules.reasons import Reason
from readiness.rules.statement import Piece, Statement


@dataclass(frozen=True, slots=True)
class Loss:
    """From a moment until another a task was covered by the old answer and is not by the new."""

    task: str
    begins: datetime
    ends: datetime
    before: Answer
    after: Answer


def losses(old: Statement, new: Statement, now: datetime, until: datetime) -> tuple[Loss, ...]:
    """The first of each task that is running or begins before `until`, told from its beginning."""
    found: list[Loss] = []
    for task in old.tasks(now, until):
        lost = (one for one in _lost(task, old, new, until) if now < one.ends)
        first = next(lost, None)
        found += [first] if first else []
    return tuple(found)


def _lost(task: str, old: Statement, new: Statement, until: datetime) -> Iterator[Loss]:
    for was in old.pieces(task, max(old.begins, new.begins), until):
        if was.answer is None or not was.answer.covered:
            continue
        for piece in new.pieces(task, was.begins, was.ends):
            if piece.answer is not None and piece.answer.uncovered:
                yield Loss(task, piece.begins, piece.ends, was.answer, piece.answer)


@dataclass(frozen=True, slots=True)
class Promise:
    """Covered from a moment until another, by this kit, these people and this anchor."""

    begins: datetime
    ends: datetime
    kit: str
    people: tuple[str, ...]
    anchor: str
    minutes: float
    state: str = "covered-no-backup"


@dataclass(frozen=True, slots=True)
class Broken:
    """The moment from which a promise no longer holds, and why.

    `code` is "not-covered", "not-worked", "served-otherwise" (another kit, crew or anchor serves) or
    "slower" (the same serve, and it takes longer than was promised).
    """

    at: datetime
    code: str
    reasons: tuple[Reason, ...] = ()
    state: str = ""


def promises(pieces: tuple[Piece, ...]) -> tuple[Promise, ...]:
    """Of a window that is covered throughout; none where any of it is not, or nobody works."""
    found = []
    for piece in pieces:
        answer = piece.answer
        if answer is None or not answer.covered or answer.serves is None:
            return ()
        by = answer.serves
        edges = (piece.begins, piece.ends)
        found.append(Promise(*edges, by.kit, by.people, by.anchor, by.minutes, answer.state))
    return tuple(found)


def broken(
    task: str, promised: tuple[Promise, ...], statement: Statement, now: datetime
) -> Broken | None:
    """The first breach that is not over, from its beginning on."""
    for promise in promised:
        for piece in statement.pieces(task, promise.begins, promise.ends):
            if now < piece.ends and (breach := _breach(promise, piece)):
                return breach
    return None


def _breach(promise: Promise, piece: Piece) -> Broken | None:
    answer = piece.answer
    if answer is None:
        return Broken(piece.begins, "not-worked")
    if not answer.covered or answer.serves is None:
        return Broken(piece.begins, "not-covered", answer.reasons, answer.state)
    by = answer.serves
    if (by.kit, by.anchor) != (promise.kit, promise.anchor) or set(by.people) != {*promise.people}:
        return Broken(piece.begins, "served-otherwise", state=answer.state)
    return Broken(piece.begins, "slower") if exceeds(by.minutes, promise.minutes) else None
