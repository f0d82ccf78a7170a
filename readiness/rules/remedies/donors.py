"""When a kit may leave a site without uncovering anything there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from readiness.rules.changes import KitLeaves
from readiness.rules.remedies.acts import Act, Key, Step
from readiness.rules.remedies.bench import Bench
from readiness.rules.remedies.weighing import weigh
from readiness.rules.windows import Window


@dataclass(frozen=True, slots=True)
class Leave:
    """`at` is the earliest moment from which nothing loses its cover; None: never in sight.

    `held_by` are the tasks that would be uncovered were it to leave at once.
    """

    kit: str
    at: datetime | None
    held_by: Mapping[Key, tuple[Window, ...]]


def may_leave(bench: Bench, site: str, kit: str, asked: datetime) -> Leave:
    """Solve the donor without the kit; it may go after the last hour in which it is needed."""
    broken = weigh(bench, (), (_gone(site, kit, asked),)).broken
    if not broken:
        return Leave(kit, asked, {})
    needed_until = max(hours[-1][1] for hours in broken.values())
    if _go_on(bench, site, broken) or needed_until >= bench.last:
        return Leave(kit, None, broken)
    later = weigh(bench, (), (_gone(site, kit, needed_until),)).broken
    return Leave(kit, None if later else needed_until, broken)


def _go_on(bench: Bench, site: str, held_by: Mapping[Key, object]) -> bool:
    """Whether a task that holds the kit runs on beyond what is looked at."""
    timeline = bench.timelines[site]
    ends = {one.task.id: one.task.ends_on for one in timeline.tasks}
    last = (bench.last - timedelta(microseconds=1)).astimezone(timeline.zone).date()
    return any(ends[task] > last for _, task in held_by)


def _gone(site: str, kit: str, at: datetime) -> Act:
    return Act("leave", kit, (Step(site, at, KitLeaves(kit, at)),))
