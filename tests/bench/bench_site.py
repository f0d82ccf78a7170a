"""All that rescue cover costs, in one run; by hand: python -m tests.bench.bench_site [seeds].

Every task of a site runs at once, and everything is asked: what is covered, what it hangs on, until
when. Solving and hanging are timed contest by contest; the rest is what making the spans takes once
these are known. One change breaks a kit's seal and judges all anew, by the solver that has just done
it; what a change costs from the rows on, and many small sites, is told last (`bench_statement.py`).

With the oracle extra a constraint solver is asked in the same run about the same moments. The ratio is
its time to ours, building included: first who is covered, then what that hangs on, which for it is the
same question once a thing lost (timed on some of the things, and multiplied). CPU seconds of this
process throughout, since other work may share the machine.
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
from readiness.rules.losses import hanging
from readiness.rules.moments import Moments
from readiness.rules.site_day import site_day
from readiness.rules.situation import Situation
from readiness.rules.slices import Solver
from readiness.rules.spans import spans
from readiness.rules.timeline import Timeline
from readiness.rules.windows import Window, midnight
from tests.bench import bench_statement
from tests.bench.large_timelines import AT, large_timeline

T = TypeVar("T")
FAMILIES = ("short", "all sharing", "first calls", "half sharing", "mutual rescue", "plenty")
MOST_SECONDS = 120
"""Past this a family's remaining seeds are left out, and the line says so by its count."""
COMPARED = 3
"""Moments of each line that are put to the constraint solver."""
LOST = 3
"""Things of each of these that it is asked to do without."""

_COLUMNS = ("median", "worst", "rest", "solve", "hang", "change", "moments", "contests")
_HEAD = f"{'':14}" + "".join(f"{one:>9}" for one in _COLUMNS) + "  cut, sites, ratios"


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
    _say("one change from the rows on, and small sites, in milliseconds")
    bench_statement.main()


def _families(seeds: int) -> None:
    _say("30 tasks, 15 kits (plenty: 45), 60 people (120), 90 days; tasks end as drawn")
    _say(_HEAD)
    for name in FAMILIES:
        _line(name, [(seed, {}) for seed in range(seeds)])


def _growth(seeds: int) -> None:
    grown = {"tasks": (10, 20, 30, 60), "people": (20, 60, 120), "days": (30, 90, 180)}
    for what, values in grown.items():
        _say(f"growth with {what}: short")
        _say(_HEAD)
        for value in values:
            _line("short", [(seed, {what: value}) for seed in range(seeds)], str(value))


def _line(name: str, draws: list[tuple[int, dict[str, int]]], called: str = "") -> None:
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
    row += f"  {sum(one.cut for one in found)}, {len(found)}, {_ratios(_drawn(name, *draws[0]))}"
    _say(row)


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


def _ratios(timeline: Timeline) -> str:
    if find_spec("ortools") is None:
        return "no constraint solver"
    last = midnight(AT.date() + timedelta(days=8), timeline.zone)
    busy = [one for one in _situations(timeline, (AT, last)) if one.tasks][:COMPARED]
    pairs = [_compared(one) for one in busy]
    told = ([pair[place] for pair in pairs if pair[place]] for place in range(2))
    return " and ".join(f"{min(one):.1f} to {max(one):.1f}" if one else "-" for one in told)


def _compared(one: Situation) -> tuple[float, float]:
    """How many times longer the constraint solver takes: for what is covered, for what it hangs on."""
    from tests.readiness.cover_oracle import without
    from tests.readiness.cover_solver import covered

    groups = contests(site_day(one, one.on))
    ours, solved = timed(lambda: [solve(group) for group in contests(site_day(one, one.on))])
    theirs, _ = timed(lambda: covered(one, one.on))
    used = sorted(thing for each in solved if each.covered for thing in each.indispensable)
    hung, _ = timed(lambda: list(map(hanging, groups, solved)))
    if not used:
        return theirs / ours, 0.0
    step = max(1, len(used) // LOST)
    asked = used[::step][:LOST]
    each, _ = timed(lambda: [covered(without(one, x.kind, x.id), one.on) for x in asked])
    return theirs / ours, each / len(asked) * len(used) / hung


def timed(act: Callable[[], T]) -> tuple[float, T]:
    start = time.process_time()
    found = act()
    return time.process_time() - start, found


def _say(text: str) -> None:
    print(text, flush=True)  # noqa: T201


if __name__ == "__main__":
    main()
