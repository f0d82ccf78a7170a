"""Prices told by a solver of linear programmes: what they prove, and that nothing rests on them alone.

The sites are invented; what is compared with is our own search without the solver.
"""

from __future__ import annotations

from itertools import combinations
from random import Random

import pytest

from readiness.rules import tariffs
from readiness.rules.aims import Aim, Standing
from readiness.rules.allocation import solve
from readiness.rules.allotment import Dead, filled, inserted, nothing_yet
from readiness.rules.bounds import HAIR, Question
from readiness.rules.demand import Contest, Resource, contests
from readiness.rules.losses import Hanging, hanging
from readiness.rules.market import NOTHING, Loss, market
from readiness.rules.prices import Prices
from readiness.rules.searches import search
from readiness.rules.seating import Meter
from readiness.rules.site_day import site_day
from readiness.rules.tariffs import Tariff
from tests.bench.large_sites import FAMILIES_OF_SITES, large_site
from tests.readiness.cover_sites import pinned
from tests.readiness.cover_sites import site as drawn_site

needs_solver = pytest.mark.skipif(tariffs.solver() is None, reason="no solver is installed")


def small_contests(count: int) -> list[Contest]:
    drawn = [drawn_site(seed, most_tasks=5) for seed in range(count)]
    drawn += [pinned(seed, most_tasks=4) for seed in range(count)]
    return [group for site in drawn for group in contests(site_day(site, site.on))]


def large_contest(family: str, seed: int, tasks: int = 20) -> Contest:
    site = large_site(family, seed, tasks)
    return max(contests(site_day(site, site.on)), key=lambda group: len(group.demands))


def answered(contest: Contest) -> tuple[frozenset[str], Hanging]:
    solution = solve(contest)
    return solution.covered, hanging(contest, solution)


@needs_solver
def test_answers_are_the_same_without_the_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    groups = [*small_contests(60), large_contest("plenty", 3), large_contest("short", 5, 10)]
    told = [answered(group) for group in groups]
    assert any(hung.on for _, hung in told)
    monkeypatch.setattr(tariffs, "solver", lambda: None)
    assert search(groups[0], Meter(1)).tariff is None
    assert [answered(group) for group in groups] == told


@needs_solver
def test_prices_that_are_far_off_cost_time_but_change_no_answer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    groups = small_contests(25)
    told = [answered(group) for group in groups]
    dice = Random(0)  # noqa: S311 - the same prices every time

    def drawn(self: Tariff, aim: Aim, _: Standing, __: Loss) -> Prices:
        kits = [dice.random() for _ in self.goods.kits.counts]
        people = [dice.random() for _ in self.goods.people.counts]
        kit_dues = {task: [0.0] * len(kits) for task in self.goods.kits.circles.of}
        dues = {task: [0.0] * len(people) for task in self.goods.people.circles.of}
        return Prices(kits, people, dict.fromkeys(aim.floors, 0.5), {}, {}, kit_dues, dues)

    monkeypatch.setattr(Tariff, "prices", drawn)
    monkeypatch.setattr(Tariff, "leaning", lambda self: dict.fromkeys(self.goods.demands, "rope"))
    assert [answered(group) for group in groups] == told


@needs_solver
@pytest.mark.parametrize("family", sorted(FAMILIES_OF_SITES))
def test_no_price_promises_less_than_can_be_had(family: str) -> None:
    contest = large_contest(family, 11)
    solution, goods = solve(contest), market(contest.demands, contest.mates)
    assert solution.aim is not None
    told = tariffs.tariff(goods)
    assert told is not None
    standing = Standing({}, tuple(goods.demands))
    prices = told.prices(solution.aim, standing, NOTHING)
    assert prices is not None
    best = len(solution.best)
    assert best - HAIR <= Question(goods, solution.aim, standing).quoted(prices).most < best + 1


@needs_solver
@pytest.mark.parametrize("kind", ["kit", "person"])
def test_a_thing_less_is_bounded_by_the_same_prices(kind: str) -> None:
    """What a search keeps of its prices holds for every loss that is asked about later."""
    contest = large_contest("half sharing", 4, 14)
    solution = solve(contest)
    look, aim = solution.look, solution.aim
    assert look is not None
    assert aim is not None
    look.sure(aim, solution.covered)
    used = sorted(thing for one in solution.best for thing in one.uses if thing.kind == kind)
    for thing in used[:6]:
        left, lost = contest.without(thing), look.without(thing, Meter(1)).lost
        best = solve(left)
        floors = dict.fromkeys(aim.floors, 0)
        open_aim = Aim(floors, None, 0)
        if best.finished:
            assert all(one.most(open_aim, lost) >= len(best.best) - HAIR for one in look.proofs)


@needs_solver
@pytest.mark.parametrize("seed", range(3))
def test_tasks_that_one_kit_could_serve_pay_no_more_than_its_price(seed: int) -> None:
    contest = large_contest("half sharing, few kits", seed, 30)
    goods = market(contest.demands, contest.mates)
    told = tariffs.tariff(goods)
    assert told is not None
    prices = told.prices(Aim({}, None, 0), Standing({}, tuple(goods.demands)), NOTHING)
    assert prices is not None
    assert any(any(dues) for dues in prices.kit_dues.values())
    for dues, full in ((prices.kit_dues, prices.kits), (prices.person_dues, prices.people)):
        for many in (1, 2, 3, 4):
            for tasks in combinations(dues, many):
                if all(two in goods.mates[one] for one, two in combinations(tasks, 2)):
                    for place, price in enumerate(full):
                        assert sum(dues[task][place] for task in tasks) <= price + HAIR


@needs_solver
def test_the_solver_is_silent(capfd: pytest.CaptureFixture[str]) -> None:
    answered(large_contest("short", 1, 10))
    assert capfd.readouterr().out == ""


def test_what_leads_to_nothing_free_leads_nowhere_later() -> None:
    """Filling up remembers where it looked in vain; forgetting that finds no more."""
    for seed in range(8):
        contest = large_contest("short", seed, 24)
        goods = market(contest.demands, contest.mates)
        order = list(goods.demands.values())
        Random(seed).shuffle(order)  # noqa: S311 - the same order every time
        held = nothing_yet(goods.mates)
        for demand in order:
            held = inserted(held, demand) or held
        assert filled(nothing_yet(goods.mates), order).ways.keys() == held.ways.keys()
        dead = Dead()
        again = nothing_yet(goods.mates)
        for demand in order:
            again = inserted(again, demand, dead) or again
        assert dead.kits | dead.people
        assert again.ways == held.ways


def test_what_is_left_of_a_market_is_what_the_contest_is_left_with() -> None:
    for seed in range(6):
        contest = large_contest("mutual rescue", seed, 12)
        look = search(contest, Meter(1))
        for thing in _things(contest):
            left = {one.task: one for one in contest.without(thing).demands}
            assert dict(look.without(thing, Meter(1)).goods.demands) == left


def _things(contest: Contest) -> list[Resource]:
    """All that anybody could use, and something that nobody can."""
    found = {Resource("kit", "nobody's")}
    for demand in contest.demands:
        people = demand.aiders.union(*(way.people | way.private for way in demand.ways))
        kits = frozenset[str]().union(*(way.kits for way in demand.ways))
        for kind, ids in (("anchor", demand.anchors), ("kit", kits), ("person", people)):
            found |= {Resource(kind, one) for one in ids}
    return sorted(found)
