"""What may change about a task: its hours, its way of working, its place in the queue."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import timedelta

from readiness.rules.situation import Clearance, Restraint, Task
from readiness.rules.timeline import TaskTime, Timeline, Work
from readiness.rules.windows import Window, without


@dataclass(frozen=True, slots=True)
class TaskStopped:
    """Not worked on in these hours, and nobody hangs there."""

    task: str
    hours: tuple[Window, ...]

    def of(self, timeline: Timeline) -> Timeline:
        return _worked(timeline, self.task, lambda work: _left(work, self.hours))


def _left(work: Work, lost: tuple[Window, ...]) -> Iterator[Work]:
    for begins, ends in without([(work.begins, work.ends)], lost):
        yield replace(work, begins=begins, ends=ends)


@dataclass(frozen=True, slots=True)
class TaskMoved:
    """All its hours come later, or (with a negative one) earlier."""

    task: str
    by: timedelta

    def of(self, timeline: Timeline) -> Timeline:
        return _worked(timeline, self.task, self._later)

    def _later(self, work: Work) -> Iterator[Work]:
        yield replace(work, begins=work.begins + self.by, ends=work.ends + self.by)


@dataclass(frozen=True, slots=True)
class FirstCall:
    """This task goes first on what several need; those that had a place move up behind it."""

    task: str

    def of(self, timeline: Timeline) -> Timeline:
        def placed(task: Task) -> Task:
            if task.id == self.task:
                return replace(task, first_call=1)
            held = task.first_call
            return task if held is None else replace(task, first_call=held + 1)

        tasks = tuple(replace(one, task=placed(one.task)) for one in timeline.tasks)
        return replace(timeline, tasks=tasks)


@dataclass(frozen=True, slots=True)
class SystemChanged:
    """Protected another way: restraint that must be proven, or a rail, deck or platform."""

    task: str
    system: str
    restraint: Restraint | None = None
    clearance: Clearance | None = None

    def of(self, timeline: Timeline) -> Timeline:
        return TaskAs(self.task, self._said()).of(timeline)

    def _said(self) -> dict[str, object]:
        said: dict[str, object] = {"system": self.system, "restraint": self.restraint}
        return said if self.clearance is None else {**said, "clearance": self.clearance}


@dataclass(frozen=True, slots=True)
class SumsRedone:
    """Planning sums done again, with what came of them; None: what it was stays."""

    task: str
    clearance: Clearance | None = None
    restraint: Restraint | None = None

    def of(self, timeline: Timeline) -> Timeline:
        told = {"clearance": self.clearance, "restraint": self.restraint}
        known = {name: value for name, value in told.items() if value is not None}
        return TaskAs(self.task, known).of(timeline)


@dataclass(frozen=True, slots=True)
class TaskAs:
    """The task with some of its particulars said anew; names are those of `Task`."""

    task: str
    said: Mapping[str, object] = field(default_factory=dict, hash=False)

    def of(self, timeline: Timeline) -> Timeline:
        tasks = tuple(
            replace(one, task=replace(one.task, **self.said))  # type: ignore[arg-type]
            if one.task.id == self.task
            else one
            for one in timeline.tasks
        )
        return replace(timeline, tasks=tasks)


def _worked(timeline: Timeline, name: str, change: Callable[[Work], Iterator[Work]]) -> Timeline:
    tasks = tuple(
        _with_works(one, change) if one.task.id == name else one for one in timeline.tasks
    )
    return replace(timeline, tasks=tasks)


def _with_works(one: TaskTime, change: Callable[[Work], Iterator[Work]]) -> TaskTime:
    found = [piece for work in one.works for piece in change(work)]
    return replace(one, works=tuple(sorted(found, key=lambda work: (work.begins, work.ends))))
