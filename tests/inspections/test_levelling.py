"""Plans of visits: every due day kept, no day over-full, and as good as the bound says."""

from __future__ import annotations

from dataclasses import replace

import pytest

from inspections.rules.levelling import level, level_what_fits
from inspections.rules.levelling_bound import bound_of
from inspections.rules.visit_plan import Ask, Inspector, Piece, parts_of
from tests.inspections.visit_questions import faults, own_cost, random_question, region

ALWAYS = {"webbing": ((0, 9),), "kit": ((0, 9),)}


def ask(*pieces: Piece, minutes: int = 60, most_out: dict[str, int] | None = None) -> Ask:
    """One inspector who has these minutes on each of ten days."""
    return Ask(
        pieces,
        (Inspector(1, (minutes,) * 10, ALWAYS),),
        10,
        visit_cost=100,
        most_out=most_out or {},
    )


def webbing(key: int, due: int, **particulars: int) -> Piece:
    return Piece(
        **{"key": key, "site": 1, "minutes": 4, "due": due, "need": "webbing", **particulars}
    )


def days(asked: Ask) -> list[tuple[int, tuple[int, ...]]]:
    return [(visit.day, tuple(sorted(visit.pieces))) for visit in level(asked).visits]


def test_what_is_due_together_is_inspected_together_on_its_due_day() -> None:
    assert days(ask(webbing(1, 7), webbing(2, 7))) == [(7, (1, 2))]


def test_a_piece_comes_earlier_where_that_saves_a_visit() -> None:
    assert days(ask(webbing(1, 5), webbing(2, 7))) == [(5, (1, 2))]


def test_a_visit_is_made_where_waiting_for_it_gives_too_much_away() -> None:
    cheap = replace(ask(webbing(1, 1), webbing(2, 9)), visit_cost=10)
    assert days(cheap) == [(1, (1,)), (9, (2,))]


def test_a_full_day_sends_the_rest_to_an_earlier_one() -> None:
    assert days(ask(webbing(1, 7), webbing(2, 7), minutes=4)) == [(6, (2,)), (7, (1,))]


def test_nothing_is_ever_planned_past_its_due_day() -> None:
    plan, left_out, least = level_what_fits(ask(webbing(1, 0), webbing(2, 0), minutes=4))
    assert (len(plan.visits), len(left_out), least) == (1, 1, 4)


def test_two_kits_of_a_site_never_go_on_the_same_day() -> None:
    kits = [
        Piece(key=n, site=1, minutes=15, due=7, need="kit", group="kits", member=n) for n in (1, 2)
    ]
    assert days(ask(*kits, most_out={"kits": 1})) == [(6, (2,)), (7, (1,))]


def test_nobody_inspects_what_is_on_issue_to_them() -> None:
    assert level(ask(webbing(1, 7, barred=1))).left_out == (1,)


def test_an_inspector_is_at_one_site_a_day() -> None:
    plan = level(ask(webbing(1, 7), webbing(2, 7, site=2)))
    assert [visit.day for visit in plan.visits] == [6, 7]


def test_a_right_that_ends_is_used_before_it_ends() -> None:
    asked = ask(webbing(1, 7))
    ends = replace(asked.inspectors[0], rights={"webbing": ((0, 4),)})
    assert days(replace(asked, inspectors=(ends,))) == [(4, (1,))]


@pytest.mark.parametrize("seed", range(60))
def test_a_plan_is_valid_costs_what_it_says_and_the_bound_lies_below(seed: int) -> None:
    asked = random_question(seed, pieces=30, days=12)
    plan = level(asked)
    assert faults(asked, plan) == []
    assert plan.cost == own_cost(asked, plan)
    assert plan.bound <= plan.cost


def test_the_same_question_has_the_same_plan() -> None:
    asked = region(1, pieces=120, days=28)
    assert level(asked) == level(asked)


def test_a_region_is_levelled_close_to_the_bound() -> None:
    asked = region(3, pieces=300, days=42)
    plan, left_out, _least = level_what_fits(asked)
    placed = replace(asked, pieces=tuple(one for one in asked.pieces if one.key not in left_out))
    assert faults(placed, plan) == []
    assert plan.visits_above(asked.visit_cost) <= len(plan.visits) // 5


def test_the_best_plan_is_what_an_integer_programme_finds() -> None:
    """HiGHS, by scipy, on questions of up to eight pieces; also: no bound lies above the best."""
    pytest.importorskip("scipy", reason="the solver of the oracle extra is not installed")
    from tests.inspections.visit_programme import best_cost

    for seed in range(240):
        asked = random_question(seed)
        plan, best = level(asked), best_cost(asked)
        bound = sum(bound_of(part, part.left_out_cost).cost for part in parts_of(asked))
        assert (seed, plan.cost, plan.proven) == (seed, best, True)
        assert bound <= best
