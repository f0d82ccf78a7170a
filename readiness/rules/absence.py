"""A person on leave: their stays of those days are gone, and what that uncovers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from readiness.rules.cover import Answer
from readiness.rules.slices import Solver
from readiness.rules.spans import spans
from readiness.rules.timeline import PersonTime, Timeline
from readiness.rules.windows import Window


@dataclass(frozen=True, slots=True)
class Loss:
    """From a moment until another the task's answer would be `then` and not `now`."""

    task: str
    begins: datetime
    ends: datetime
    now: Answer
    then: Answer

    @property
    def uncovers(self) -> bool:
        return self.now.covered and self.then.uncovered


def away(timeline: Timeline, person: str, leave: Window) -> Timeline:
    """Without the stays that begin within the leave: a night begun the day before is still done."""
    people = tuple(_away(one, leave) if one.person.id == person else one for one in timeline.people)
    return replace(timeline, people=people)


def missed(timeline: Timeline, person: str, leave: Window) -> Window | None:
    """From the first moment of the leave to the last that the person would have been there."""
    ends = [
        stay.ends
        for one in timeline.people
        if one.person.id == person
        for stay in one.stays
        if _within(stay.begins, leave)
    ]
    return (leave[0], max(ends)) if ends else None


def losses(timeline: Timeline, person: str, leave: Window) -> tuple[Loss, ...]:
    """Whatever gets worse for a task, solved anew for all tasks of the site from change to change."""
    window = missed(timeline, person, leave)
    if window is None:
        return ()
    solver = Solver()
    then = spans(away(timeline, person, leave), *window, solver)
    found: dict[str, list[Loss]] = {}
    for span in spans(timeline, *window, solver):
        answers = next(one.answers for one in then if one.begins <= span.begins < one.ends)
        for task, answer in span.answers.items():
            if _worse(answer, answers[task]):
                loss = Loss(task, span.begins, span.ends, answer, answers[task])
                _add(found.setdefault(task, []), loss)
    every = [loss for listed in found.values() for loss in listed]
    return tuple(sorted(every, key=lambda loss: (loss.begins, loss.task)))


def _away(one: PersonTime, leave: Window) -> PersonTime:
    stays = tuple(stay for stay in one.stays if not _within(stay.begins, leave))
    return replace(one, stays=stays)


def _within(moment: datetime, window: Window) -> bool:
    return window[0] <= moment < window[1]


def _worse(now: Answer, then: Answer) -> bool:
    """No longer covered, or hanging on something more."""
    if not now.covered:
        return False
    return then.uncovered or bool(set(then.hangs_on) - set(now.hangs_on))


def _add(listed: list[Loss], loss: Loss) -> None:
    """Neighbours with the same answers become one."""
    if listed and listed[-1].ends == loss.begins and listed[-1].then == loss.then:
        listed[-1] = replace(listed[-1], ends=loss.ends)
    else:
        listed.append(loss)
