"""Why cover ends at a moment, told of what changes then and not of what never would have done."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from readiness.rules.moments import Moments
from readiness.rules.reasons import Reason
from readiness.rules.situation import Situation
from readiness.rules.statement import Piece, Statement
from readiness.rules.suitability import WhyNot, why_not
from readiness.wording import moment_words, reason_sentence

MOST_PEOPLE = 3
"""Named one by one; where more are lost at once, the sentence about all of them says it better."""

_INSTANT = timedelta(seconds=1)


@dataclass(frozen=True, slots=True)
class Lapse:
    """A task that was covered is no longer, from the beginning of the piece; `last`: until when."""

    task: str
    piece: Piece
    last: datetime


def lapses(statement: Statement, task: str, at: datetime) -> Iterator[Lapse]:
    """Each end of cover for a reason not told before: what comes again every night is told once."""
    seen = [one.answer for one in statement.pieces(task, statement.begins, at) if _uncovered(one)]
    last: datetime | None = None
    for piece in statement.pieces(task, at, statement.ends):
        if piece.answer is None:
            continue
        if piece.answer.covered:
            last = piece.ends
        elif _uncovered(piece):
            if last is not None and piece.answer not in seen:
                yield Lapse(task, piece, last)
            seen.append(piece.answer)
            last = None


def _uncovered(piece: Piece) -> bool:
    return piece.answer is not None and piece.answer.uncovered


def causes(lapse: Lapse, moments: Moments) -> tuple[Reason, ...]:
    """What speaks against the task when the piece begins, and did not when it was last covered."""
    then = moments.situation(lapse.piece.begins)
    before = moments.situation(lapse.last - _INSTANT)
    answer = lapse.piece.answer
    told = answer.reasons if answer else ()
    contested = [one for one in told if one.code in {"contested", "search-not-finished"}]
    found = dict.fromkeys([*_changes(lapse.task, before, then), *contested])
    return tuple(found) or told


def lapse_words(lapse: Lapse, moments: Moments, now: datetime) -> str:
    """'No longer covered from ...: why'."""
    said = dict.fromkeys(reason_sentence(reason) for reason in causes(lapse, moments))
    day = moment_words(lapse.piece.begins, now, moments.timeline.zone)
    return _("No longer covered from %(day)s: %(why)s") % {"day": day, "why": " ".join(said)}


def _changes(task: str, before: Situation, then: Situation) -> Iterator[Reason]:
    was, found = _judged(task, before), _judged(task, then)
    if was is None or found is None:
        return
    stood = {reason.code for reason in was.task}
    yield from (reason for reason in found.task if reason.code not in stood)
    served = {judged.kit.id for judged in was.kits if not judged.reasons}
    for judged in found.kits:
        if judged.kit.id in served:
            for reason in judged.reasons:
                yield from _lost(was, found, judged.kit.family, reason)


def _judged(task: str, situation: Situation) -> WhyNot | None:
    seen = next((one for one in situation.tasks if one.id == task), None)
    return why_not(seen, situation, situation.on) if seen else None


def _lost(before: WhyNot, then: WhyNot, family: str, reason: Reason) -> Iterator[Reason]:
    """For a reason about a kit's people: those who would have done before."""
    able = {one.person.id for one in before.people if one.family == family and not one.reason}
    lost = [
        one.reason
        for one in then.people
        if one.family == family and one.person.id in able and one.reason
    ]
    of_people = "kit" not in reason.facts
    yield from lost if of_people and 0 < len(lost) <= MOST_PEOPLE else [reason]
