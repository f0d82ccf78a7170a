"""Kept figures of restraint: what is drawn, what is missing, and what is refused rather than proven."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.rules.needs import restraint_shortfall
from readiness.rules.situation import Policy, Restraint, Task
from readiness.rules.sums.restraint_figures import read_restraint, restraint_answer
from readiness.rules.sums.values import Refused
from readiness.wording.sums import refusal_sentence
from tests.factories import DAY
from tests.readiness.fall_figures import at, restraint_figures

CORNERS: Any = restraint_figures()["corners"]


def test_the_edge_with_least_to_spare_decides() -> None:
    answer = restraint_answer(restraint_figures())
    assert answer.proven
    assert answer.tightest.name == "south eave"
    assert answer.tightest.spare_m == pytest.approx(0.5)


def test_a_longer_allowance_of_the_employer_can_make_it_arrest() -> None:
    assert not restraint_answer(restraint_figures(), Policy(restraint_allowance_m=1.1)).proven


def test_a_fragile_area_that_can_be_passed_is_arrest() -> None:
    answer = restraint_answer(restraint_figures(points=[at(10.5, 4.5)]))
    assert [hold.name for hold in answer.found.passed] == ["roof light"]
    assert not answer.proven


def test_an_open_rim_proves_nothing_though_no_edge_drawn_can_be_passed() -> None:
    answer = restraint_answer(restraint_figures(closed=False))
    assert answer.found.proven
    assert not answer.found.rim_closed
    assert not answer.proven
    assert [side.name for side in answer.case.layout.sides] == [
        "south eave",
        "east gable",
        "parapet",
    ]


def test_a_guarded_side_is_no_edge() -> None:
    answer = restraint_answer(restraint_figures(points=[at(14, 9)]))
    assert answer.proven
    assert "parapet" not in {hold.name for hold in answer.found.holds}


def test_a_side_without_a_name_is_called_by_its_corners() -> None:
    corners = [{**at(0, 0)}, {**at(9, 0)}, {**at(9, 9)}]
    case = read_restraint(restraint_figures(corners=corners, points=[at(6, 3)], areas=None))
    assert [side.name for side in case.layout.sides] == ["1-2", "2-3", "3-1"]


def test_a_line_must_say_how_far_it_gives_and_a_rail_gives_nothing() -> None:
    ends = [at(11, 3), at(17, 3)]
    assert (
        restraint_answer(restraint_figures(anchorage="rail", points=ends)).tightest.deflection_m
        == 0
    )
    with pytest.raises(Refused) as refused:
        restraint_answer(restraint_figures(anchorage="line", points=ends))
    assert (refused.value.field, refused.value.code) == ("deflection_m", "missing")
    line = restraint_figures(anchorage="line", points=ends, deflection_m=0.6)
    assert not restraint_answer(line).proven


REFUSED: list[tuple[dict[str, Any], str, str]] = [
    ({"points": [at(114, 3)]}, "points.0.x_m", "outside-rim"),
    ({"points": []}, "points", "too-few-points"),
    ({"points": [at(14, 3), at(15, 3)]}, "points", "one-anchor"),
    ({"anchorage": "rail"}, "points", "too-few-points"),
    ({"corners": CORNERS[:2]}, "corners", "too-few-points"),
    ({"corners": [CORNERS[0], *CORNERS]}, "corners.0.x_m", "same-place"),
    ({"corners": [{**one, "name": "eave"} for one in CORNERS]}, "corners.1.name", "same-name"),
    (
        {"areas": [{"name": "hatch", "corners": [at(1, 1), at(2, 2)]}]},
        "areas.0.corners",
        "too-few-points",
    ),
    ({"areas": [{"corners": [at(1, 1), at(2, 2), at(2, 1)]}]}, "areas.0.name", "missing"),
    (
        {"areas": [{"name": "hatch", "corners": [at(31, 1), at(32, 2), at(32, 1)]}]},
        "areas.0.corners",
        "outside-rim",
    ),
    ({"corners": [{**at(0, 0), "height": 1}, *CORNERS[1:]]}, "corners.0.height", "not-known"),
    ({"deflection_m": 1.0}, "deflection_m", "not-known"),
    ({"lanyard_m": None}, "lanyard_m", "missing"),
]


@pytest.mark.parametrize(("changed", "field", "code"), REFUSED)
def test_what_is_missing_or_misplaced_is_refused(
    changed: dict[str, Any], field: str, code: str
) -> None:
    with pytest.raises(Refused) as refused:
        restraint_answer(restraint_figures(**changed))
    assert (refused.value.field, refused.value.code) == (field, code)
    assert "%(" not in refusal_sentence(refused.value)


@given(
    lanyard=st.floats(0, 6).map(lambda value: round(value, 2)),
    x=st.floats(1, 19).map(lambda value: round(value, 2)),
    y=st.floats(1, 9).map(lambda value: round(value, 2)),
    give=st.sampled_from([0.0, 0.3, 1.0]),
)
def test_the_tightest_edge_gives_cover_the_same_answer(
    lanyard: float, x: float, y: float, give: float
) -> None:
    """What cover computes from the three figures handed to it is what the drawing says."""
    kind = {"anchorage": "line", "points": [at(x, y), at(x, 9.5)], "deflection_m": give}
    answer = restraint_answer(restraint_figures(lanyard_m=lanyard, **kind))
    least = answer.tightest
    told = Restraint(answer.found.reach_m, least.deflection_m, least.distance_m)
    task = Task("T", "z", DAY, DAY, "restraint", (), restraint=told)
    assert (restraint_shortfall(task, Policy()) is None) == answer.proven
