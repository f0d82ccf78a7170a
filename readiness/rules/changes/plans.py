"""What may change about rescue plans and their drills."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

from readiness.rules.situation import Drill, Plan, Task
from readiness.rules.timeline import Timeline


@dataclass(frozen=True, slots=True)
class PlanReviewed:
    """Looked at again, and it still holds."""

    task: str
    on: date

    def of(self, timeline: Timeline) -> Timeline:
        return _with_plan(timeline, (self.task,), lambda plan: replace(plan, reviewed=self.on))


@dataclass(frozen=True, slots=True)
class PlanWritten:
    """A plan for the way the task is done now, carried out by those on site."""

    task: str
    plan: Plan

    def of(self, timeline: Timeline) -> Timeline:
        return _with_task(timeline, (self.task,), lambda task: replace(task, plan=self.plan))


@dataclass(frozen=True, slots=True)
class DrillDone:
    """Practised on a day, within so many minutes."""

    task: str
    on: date
    minutes: float

    def of(self, timeline: Timeline) -> Timeline:
        drill = Drill(self.on, self.minutes)
        return _with_plan(timeline, (self.task,), lambda plan: replace(plan, drill=drill))


@dataclass(frozen=True, slots=True)
class StopWorkLinked:
    """The plans of these tasks stop other work during a rescue, so that they may share."""

    tasks: tuple[str, ...]

    def of(self, timeline: Timeline) -> Timeline:
        return _with_plan(timeline, self.tasks, lambda plan: replace(plan, stop_work=True))


def _with_plan(
    timeline: Timeline, names: tuple[str, ...], change: Callable[[Plan], Plan]
) -> Timeline:
    """A task without a plan stays without one."""
    return _with_task(
        timeline,
        names,
        lambda task: task if task.plan is None else replace(task, plan=change(task.plan)),
    )


def _with_task(
    timeline: Timeline, names: tuple[str, ...], change: Callable[[Task], Task]
) -> Timeline:
    tasks = tuple(
        replace(one, task=change(one.task)) if one.task.id in names else one
        for one in timeline.tasks
    )
    return replace(timeline, tasks=tasks)
