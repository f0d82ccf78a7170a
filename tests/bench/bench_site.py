"""Seconds for one large site over all its days; by hand: python -m tests.bench.bench_site [seeds].

Every task of a site runs at once, and everything is asked: what is covered, what it hangs on, until
when. Solving and hanging are timed contest by contest; the rest is what making the spans takes once
these are known. One change breaks a kit's seal and judges all anew, by the solver that has just done
it. With the oracle extra a constraint solver is asked in the same run who is covered at some moments:
the ratio is its time to ours for the same, building included. CPU seconds of this process.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta
from importlib.util import find_spec
from typing import TypeVar

from readiness.rules.allocation import solve
from readiness.rules.demand import contests
from readiness.rules.moments import Moments
from readiness.rules.site_day import site_day
from readiness.rules.situation import Situation
from readiness.rules.slices import Solver
from readiness.rules.spans import spans
from readiness.rules.timeline import Timeline
from readiness.rules.windows import Window, midnight
from tests.bench.large_timelines import AT, large_timeline

T = TypeVar("T")
FAMILIES = ("short", "all sharing", "first calls", "half sharing", "mutual rescue", "plenty")
MOST_SECONDS = 120
"""Past this a family's remaining seeds are left out, and the line says so by its count."""
COMPARED = 3
"""Moments of each family that are put to the constraint solver."""


@dataclass(frozen=True, slots=True)
class Taken:
    """Seconds by phase, moments judged, and contests whose search was cut short."""

    rest: float
    solving: float
    hanging: float
    change: float
    moments: int
    contests: int
    cut: int

    @property
    def whole(self) -> float:
        return self.rest + self.solving + self.hanging


def main() -> None:
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 3
    _families(seeds)
    _growth(min(seeds, 2))


def _families(seeds: int) -> None:
    _say("30 tasks, 15 kits (plenty: 45), 60 people (120), 90 days; tasks end as drawn")
    head = ("", "median", "worst", "rest", "solve", "hang", "change", "moments", "contests")
    _say(f"{head[0]:14}" + "".join(f"{one:>9}" for one in head[1:]) + "  cut, sites, ratio")
    for name in FAMILIES:
        _line(name, [(seed, {}) for seed in range(seeds)], ratio=True)


def _growth(seeds: int) -> None:
    grown = {"tasks": (10, 20, 30, 60), "people": (20, 60, 120), "days": (30, 90, 180)}
    for what, values in grown.items():
        _say(f"growth with {what}: short")
        for value in values:
            _line("short", [(seed, {what: value}) for seed in range(seeds)], str(value))


def _line(
    name: str, draws: list[tuple[int, dict[str, int]]], called: str = "", *, ratio: bool = False
) -> None:
    found: list[Taken] = []
    for seed, size in draws:
        if sum(one.whole for one in found) < MOST_SECONDS:
            found.append(taken(_drawn(name, seed, size), size.get("days", 90)))
    wholes = [one.whole for one in found]
    phases = ("rest", "solving", "hanging", "change")
    cells = [statistics.median(wholes), max(wholes)]
    cells += [statistics.median(getattr(one, phase) for one in found) for phase in phases]
    counts = (
        statistics.median(getattr(one, of) for one in found) for of in ("moments", "contests")
    )
    row = f"{called or name:14}" + "".join(f"{cell:9.2f}" for cell in cells)
    row += "".join(f"{count:9.0f}" for count in counts)
    row += f"  {sum(one.cut for one in found)}, {len(found)}"
    _say(row + (f", {_ratio(_drawn(name, *draws[0]))}" if ratio else ""))


def _drawn(name: str, seed: int, size: dict[str, int]) -> Timeline:
    people = None if name == "plenty" else 60
    return large_timeline(name, seed, **{"people": people, **size})


def taken(timeline: Timeline, days: int) -> Taken:
    first = midnight(AT.date(), timeline.zone)
    last = midnight(AT.date() + timedelta(days=days + 1), timeline.zone)
    solver, situations = Solver(), _situations(timeline, (first, last))
    solving = hung = 0.0
    for situation in situations:
        for group in contests(site_day(situation, situation.on)):
            if group not in solver.known:
                spent, solver.known[group] = timed(lambda group=group: solve(group))
                solving += spent
                spent, _ = timed(lambda group=group: solver.hanging(group))
                hung += spent
    rest, _ = timed(lambda: spans(timeline, first, last, solver))
    cut = sum(not one.finished for one in (*solver.known.values(), *solver.hung.values()))
    count = len(solver.known)
    change, _ = timed(lambda: spans(_unsealed(timeline), first, last, solver))
    return Taken(rest, solving, hung, change, len(situations), count, cut)


def _situations(timeline: Timeline, window: Window) -> list[Situation]:
    moments = Moments(timeline)
    found = {moments.key(at): at for at in moments.changes(*window)}
    return [moments.situation(at) for at in found.values()]


def _unsealed(timeline: Timeline) -> Timeline:
    broken = replace(timeline.kits[0], kit=replace(timeline.kits[0].kit, seal_intact=False))
    return replace(timeline, kits=(broken, *timeline.kits[1:]))


def _ratio(timeline: Timeline) -> str:
    if find_spec("ortools") is None:
        return "not installed"
    from tests.readiness.cover_solver import covered

    last = midnight(AT.date() + timedelta(days=8), timeline.zone)
    busy = [one for one in _situations(timeline, (AT, last)) if one.tasks][:COMPARED]
    found = []
    for one in busy:
        theirs, _ = timed(lambda one=one: covered(one, one.on))
        ours, _ = timed(lambda one=one: [solve(g) for g in contests(site_day(one, one.on))])
        found.append(theirs / ours)
    return f"{min(found):.1f} to {max(found):.1f}"


def timed(act: Callable[[], T]) -> tuple[float, T]:
    start = time.process_time()
    found = act()
    return time.process_time() - start, found


def _say(text: str) -> None:
    print(text, flush=True)  # noqa: T201


if __name__ == "__main__":
    main()
