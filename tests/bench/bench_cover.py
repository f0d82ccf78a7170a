"""Milliseconds for the cover of one moment of a large site; run by hand from the top folder.

    python -m tests.bench.bench_cover [seeds]

With the oracle extra installed the same question (who is covered) is put to a constraint solver in
the same run. What it takes away to find what hangs on what is then counted as one question a thing.
"""

from __future__ import annotations

import statistics
import sys
import time
from importlib.util import find_spec

from readiness.rules.allocation import solve
from readiness.rules.cover import answers
from readiness.rules.demand import contests
from readiness.rules.losses import hanging
from readiness.rules.site_day import site_day
from readiness.rules.situation import Situation
from tests.bench.large_sites import FAMILIES_OF_SITES, large_site

COMPARED = 5
"""Seeds of each family that are put to the constraint solver, which takes its time."""


def main() -> None:
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    print(f"{'':24} build     solve          hanging        unfinished  solver asked once")  # noqa: T201
    for name in FAMILIES_OF_SITES:
        _line(name, 30, seeds)
    print("growth with tasks, half sharing")  # noqa: T201
    for tasks in (10, 20, 30, 45, 60):
        _line("half sharing", tasks, max(5, seeds // 4))
    print("with every day of change of a month ahead")  # noqa: T201
    for name in FAMILIES_OF_SITES:
        site = large_site(name, 1)
        start = time.process_time()
        answers(site)
        print(f"{name:24} {(time.process_time() - start) * 1000:8.0f}")  # noqa: T201


def _line(name: str, tasks: int, seeds: int) -> None:
    taken = [_taken(large_site(name, seed, tasks)) for seed in range(seeds)]
    build, solving, hangs = ([one[place] for one in taken] for place in range(3))
    cut = sum(not one[3] for one in taken)
    asked = _asked([large_site(name, seed, tasks) for seed in range(min(seeds, COMPARED))])
    cells = f"{_spread(build)} {_spread(solving)} {_spread(hangs)}"
    print(f"{name:24} {cells} {cut:4} of {seeds:3} {asked}", flush=True)  # noqa: T201


def _spread(taken: list[float]) -> str:
    return f"{statistics.median(taken):5.0f} ({max(taken):5.0f})"


def _taken(site: Situation) -> tuple[float, float, float, bool]:
    marks, finished = [time.process_time()], True
    groups = contests(site_day(site, site.on))
    marks.append(time.process_time())
    solutions = [solve(group) for group in groups]
    marks.append(time.process_time())
    for group, solution in zip(groups, solutions, strict=True):
        finished = hanging(group, solution).finished and solution.finished and finished
    marks.append(time.process_time())
    build, solving, hangs = (1000 * (marks[n + 1] - marks[n]) for n in range(3))
    return build, solving, hangs, finished


def _asked(sites: list[Situation]) -> str:
    if find_spec("ortools") is None:
        return "not installed"
    from tests.readiness.cover_solver import covered

    taken = []
    for site in sites:
        start = time.process_time()
        covered(site, site.on)
        taken.append(1000 * (time.process_time() - start))
    return _spread(taken)


if __name__ == "__main__":
    main()
