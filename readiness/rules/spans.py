"""Rescue cover over time: the same answers from one change of the facts to the next."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import pairwise

from readiness.rules.cover import Answer, answers_now
from readiness.rules.moments import Moments
from readiness.rules.situation import Situation
from readiness.rules.slices import Solver
from readiness.rules.timeline import Timeline

EXPOSED_UNKNOWN = "exposed"
"""Key of what is missing where nobody is named as exposed."""


@dataclass(frozen=True, slots=True)
class Span:
    """From a moment until another, not counted, these are the answers of all tasks at work."""

    begins: datetime
    ends: datetime
    answers: Mapping[str, Answer]


def spans(
    timeline: Timeline, first: datetime, last: datetime, solver: Solver | None = None
) -> tuple[Span, ...]:
    """Without gap or overlap from `first` until `last`; a site where nobody works has answers too,
    none. Spans with equal answers share one mapping."""
    solver = solver or Solver()
    moments = Moments(timeline)
    known: dict[Hashable, Mapping[str, Answer]] = {}
    found: list[Span] = []
    for begins, ends in pairwise([*moments.changes(first, last), last]):
        key = moments.key(begins)
        if key not in known:
            known[key] = judged(moments.situation(begins), solver)
        answers = known[key]
        if found and found[-1].answers is answers:
            found[-1] = replace(found[-1], ends=ends)
        else:
            found.append(Span(begins, ends, answers))
    return tuple(found)


def judged(situation: Situation, solver: Solver) -> dict[str, Answer]:
    """One answer for each task at work."""
    return asked(answers_now(situation, solver), situation)


def asked(answers: Mapping[str, Answer], situation: Situation) -> dict[str, Answer]:
    """The answers, with the one thing more that a register must ask: who is exposed.

    A task on which nobody is named is not assessed: any of its rescuers may be the one who hangs.
    It still competes for kits and people, so that others do not gain by its silence.
    """
    unnamed = {task.id for task in situation.tasks if not task.exposed}
    return {
        task: _unasked(answer) if task in unnamed else answer for task, answer in answers.items()
    }


def _unasked(answer: Answer) -> Answer:
    if answer.state == "no-rescue-cover-needed":
        return answer
    missing = (*answer.missing, EXPOSED_UNKNOWN)
    if answer.covered:
        return Answer("not-assessed", missing=missing, treated_as_arrest=answer.treated_as_arrest)
    return replace(answer, missing=missing)


WORST_FIRST = (
    "not-covered",
    "not-assessed",
    "covered-no-backup",
    "covered-with-backup",
    "no-rescue-cover-needed",
)
"""The states, the one that counts most for a window first."""


def worst(answers: Iterable[Answer]) -> Answer | None:
    """A window's answer is its worst span's, the earliest of those; None where nobody works."""
    return min(answers, key=lambda answer: WORST_FIRST.index(answer.state), default=None)
