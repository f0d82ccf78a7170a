"""The days on which anything about a site's cover may change."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from readiness.rules.months import months_after
from readiness.rules.situation import Policy, Situation, Task

_DAY = timedelta(days=1)


def days_of_change(situation: Situation) -> list[date]:
    """First days of the slices after `on`, within the horizon; in between nothing changes."""
    last = situation.on + situation.horizon_days * _DAY
    ends = (*_stays(situation), *_ends(situation))
    firsts = {*_starts(situation), *(_after(end) for end in ends)}
    return sorted(day for day in firsts if situation.on < day <= last)


def _after(end: date) -> date:
    return end if end == date.max else end + _DAY


def _starts(situation: Situation) -> Iterator[date]:
    for task in situation.tasks:
        yield task.starts_on
    for person in situation.people:
        yield from (start for start, _ in person.on_site)
        yield from (held.valid_from for held in person.competences)


def _stays(situation: Situation) -> Iterator[date]:
    """Last days of tasks and of people on the rota."""
    for person in situation.people:
        yield from (end for _, end in person.on_site)
    yield from (task.ends_on for task in situation.tasks)


def _ends(situation: Situation) -> Iterator[date]:
    """Last days through which things are good, to midnight."""
    for kit in situation.kits:
        yield from (clock.due for clock in kit.clocks if clock.due is not None)
    yield from (anchor.due for anchor in situation.anchors if anchor.due is not None)
    for person in situation.people:
        yield from (held.valid_to for held in person.competences)
    for task in situation.tasks:
        yield from _ends_of(task, situation.policy)


def _ends_of(task: Task, policy: Policy) -> Iterator[date]:
    if task.plan is None:
        return
    if task.plan.reviewed is not None:
        yield months_after(task.plan.reviewed, policy.plan_review_months)
    if task.plan.drill is not None:
        yield months_after(task.plan.drill.on, policy.drill_months)
