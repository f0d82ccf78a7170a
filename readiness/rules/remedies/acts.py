"""An act that may mend a trouble: what it changes where and from when, who does it, what it costs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from readiness.rules.changes import Change, Dated, TaskStopped
from readiness.rules.windows import Window

Key = tuple[str, str]
"""A site and one of its tasks, by their codes."""


@dataclass(frozen=True, slots=True)
class Step:
    """A change at one site, which counts from its moment on."""

    site: str
    at: datetime
    change: Change


@dataclass(frozen=True, slots=True)
class Act:
    """`who` is the name of who does it, `doer` their id where they are known. `uses` names what it takes up: no set promises the same kit or person twice. `books` is a half-day, which more
    than one act at the same site may share.

    `facts` are what its sentence needs; they decide nothing.
    """

    kind: str
    what: str
    steps: tuple[Step, ...]
    cost: float = 0
    who: str = ""
    doer: str = ""
    uses: frozenset[str] = frozenset()
    books: str = ""
    facts: Mapping[str, object] = field(default_factory=dict, hash=False, compare=False)

    @property
    def ready_at(self) -> datetime:
        return max(step.at for step in self.steps)

    @property
    def sites(self) -> frozenset[str]:
        return frozenset(step.site for step in self.steps)


def dated(acts: Iterable[Act], site: str) -> tuple[Dated, ...]:
    """What the acts change at one site, in the order in which it counts."""
    steps = [step for act in acts for step in act.steps if step.site == site]
    return tuple(Dated(one.at, one.change) for one in sorted(steps, key=lambda step: step.at))


def collide(acts: Iterable[Act]) -> bool:
    """Whether two of them take up the same thing."""
    taken: set[str] = set()
    for act in acts:
        if taken & act.uses:
            return True
        taken |= act.uses
    return False


def stop_for(key: Key, hours: tuple[Window, ...], at: datetime) -> Act:
    """Nobody hangs where nobody works: free, at once, and never refused."""
    site, task = key
    return Act(
        kind="stop",
        what=task,
        steps=(Step(site, at, TaskStopped(task, hours)),),
        facts={"task": task, "site": site, "hours": hours},
    )
