"""Rescue cover of sites too large to enumerate, against a constraint solver. The sites are invented."""

from __future__ import annotations

import os
from random import Random

import pytest

from readiness.rules.allocation import solve
from readiness.rules.demand import contests
from readiness.rules.losses import hanging
from readiness.rules.site_day import site_day
from readiness.rules.situation import Situation
from tests.bench.large_sites import FAMILIES_OF_SITES, large_site
from tests.readiness import cover_oracle as oracle

pytest.importorskip("ortools", reason="the constraint solver of the oracle extra is not installed")

SEEDS = max(1, int(os.environ.get("TALLYHOOK_EXAMPLES", "150")) // 500)
LOSSES = 1 if SEEDS == 1 else 4


@pytest.mark.parametrize("seed", range(SEEDS))
@pytest.mark.parametrize("family", sorted(FAMILIES_OF_SITES))
def test_large_sites_are_answered_as_a_constraint_solver_answers_them(
    family: str, seed: int
) -> None:
    from tests.readiness import cover_solver

    site = large_site(family, 1000 + seed)
    found, hangs, finished = answered(site)
    truth = cover_solver.covered(site, site.on)
    assert found <= truth
    if not finished:
        return
    assert found == truth
    dice = Random(seed)  # noqa: S311 - the same few things every time
    for kind, lost in dice.sample(oracle.things(site), LOSSES):
        left = cover_solver.covered(oracle.without(site, kind, lost), site.on)
        assert truth - left == {task for task in truth if (kind, lost) in hangs[task]}


def answered(site: Situation) -> tuple[set[str], dict[str, set[tuple[str, str]]], bool]:
    covered, hangs, finished = set[str](), {}, True
    for contest in contests(site_day(site, site.on)):
        solution = solve(contest)
        losses = hanging(contest, solution)
        covered |= solution.covered
        finished = finished and solution.finished and losses.finished
        for task, things in losses.on.items():
            hangs[task] = {(one.kind, one.id) for one in things}
    return covered, hangs, finished
