"""Horizontal lifelines, held to published amplification and computed drops."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.rules.sums.clearance import Allowances, Below, Place, clearance
from readiness.rules.sums.clearance_lanyard import Lanyard
from readiness.rules.sums.lifeline import (
    InLineAbsorber,
    Lifeline,
    amplification,
    drop,
    loaded,
    sag_part,
    tension_from_sag,
)
from readiness.rules.sums.values import GIVEN, Figure, Plane, Refused
from tests.readiness.planning_rows import Row, rows

WIRE = Lifeline(20.0, 2_500_000, 1000)


@pytest.mark.parametrize("row", rows("hll_amplification"), ids=str)
def test_a_flat_line_pulls_many_times_its_load(row: Row) -> None:
    assert row.is_met_by(amplification(row.inputs["sag_angle_deg"]))


@pytest.mark.parametrize("row", rows("hll_tension_from_sag"), ids=str)
def test_the_tension_follows_from_the_sag(row: Row) -> None:
    at = row.inputs
    assert row.is_met_by(tension_from_sag(at["F"], at["span"], at["sag"]))


@pytest.mark.parametrize("row", rows("hll_elastic_sag", "hll_elastic_tension"), ids=str)
def test_an_elastic_line_under_load(row: Row) -> None:
    at = row.inputs
    found = loaded(Lifeline(at["span"], at["EA"], at["T0"]), at["F"])
    assert row.is_met_by(found.sag_m if row.unit == "m" else found.tension_n)


@pytest.mark.parametrize("row", rows("hll_total_drop_after_taut"), ids=str)
def test_sag_and_stroke_share_the_energy(row: Row) -> None:
    at = row.inputs
    line = Lifeline(at["span"], at["EA"], at["T0"])
    assert row.is_met_by(drop(line, at["m"], at["h"], at["F_d"]).metres)


def test_the_worked_chain_from_the_lifeline_down() -> None:
    """1.8 lanyard, 0.5697 stroke, 0.5753 sag, 1.5 body, 0.3 harness, 1.0 margin: 5.7451 m."""
    line = Lifeline(10, 2_500_000, 1000)
    stroke = Figure(drop(line, 100, 1.8, 4000).stroke_m, GIVEN)
    place = Place(1.5, (Below("the floor", 9.0),), anchor_gives=(sag_part(line, 4000),))
    room = Allowances(Figure(0.3, GIVEN))
    needed = clearance(Lanyard(1.8, extension=stroke), place, 100, room).needed
    assert needed.below(Plane.ANCHOR) == pytest.approx(5.7451, rel=1e-3)


def test_intermediate_anchors_let_the_whole_line_stretch_into_one_span() -> None:
    alone, of_three = loaded(WIRE, 6000), loaded(replace(WIRE, total_m=60.0), 6000)
    assert of_three.sag_m > alone.sag_m
    assert of_three.tension_n < alone.tension_n
    longer = 2 * math.hypot(10, of_three.sag_m) - 20
    assert of_three.tension_n == pytest.approx(1000 + 2_500_000 * longer / 60)


def test_the_slack_of_the_other_spans_slips_into_the_loaded_one() -> None:
    """Five spans of 10 m, each hanging 0.3 m: 8·0.3²/30 = 0.024 m too long each, 0.12 m in all; a stiff
    line comes down to sqrt(5.06² - 5²) = 0.777 m by that alone."""
    stiff = Lifeline(10.0, 20_000_000, sag_m=0.3)
    alone, of_five = loaded(stiff, 6000), loaded(replace(stiff, total_m=50.0), 6000)
    assert alone.sag_m < 0.5
    assert math.sqrt(5.06**2 - 25) < of_five.sag_m < 0.95


def test_two_people_pull_it_deeper_and_harder() -> None:
    one, two = loaded(WIRE, 6000), loaded(WIRE, 6000, users=2)
    assert two.sag_m > one.sag_m
    assert two.tension_n > one.tension_n
    assert drop(WIRE, 100, 2.0, 4000, users=2).metres > drop(WIRE, 100, 2.0, 4000).metres


def test_half_a_person_is_never_rounded_down() -> None:
    with pytest.raises(Refused) as refused:
        loaded(WIRE, 6000, users=1.9)
    assert (refused.value.field, refused.value.code) == ("users", "not-whole")


def test_an_absorber_in_the_line_holds_its_force_and_lets_it_sag() -> None:
    with_absorber = replace(WIRE, absorber=InLineAbsorber(10_000, 1.5))
    plain, eased = loaded(WIRE, 6000), loaded(with_absorber, 6000)
    assert plain.tension_n > 10_000
    assert eased.tension_n == pytest.approx(10_000)
    assert eased.sag_m == pytest.approx(10 * 6000 / math.sqrt(4 * 10_000**2 - 6000**2))
    assert eased.sag_m > plain.sag_m
    assert 0 < eased.absorber_m < 1.5


def test_an_absorber_in_the_line_that_is_used_up_is_refused() -> None:
    short = replace(WIRE, absorber=InLineAbsorber(6_000, 0.3))
    with pytest.raises(Refused) as refused:
        loaded(short, 6000)
    assert (refused.value.field, refused.value.code) == ("in_line_absorber", "bottoms-out")
    assert refused.value.high == 0.3


def test_a_line_that_hangs_comes_down_farther() -> None:
    hanging = loaded(replace(WIRE, sag_m=0.5), 6000)
    assert hanging.sag_m > loaded(WIRE, 6000).sag_m
    assert hanging.sag_m > 0.5


def test_a_line_that_takes_all_the_energy_leaves_the_absorber_shut() -> None:
    soft = Lifeline(20.0, 50_000)
    assert drop(soft, 60, 0.0, 6000).stroke_m == 0.0


def test_a_line_too_soft_for_this_picture_is_refused() -> None:
    with pytest.raises(Refused, match="too-steep"):
        loaded(Lifeline(20.0, 20_000), 22_000)


ABSURD: list[Any] = [math.nan, math.inf, -1.0, None, "1"]


@pytest.mark.parametrize("value", ABSURD)
@pytest.mark.parametrize("field", ["span_m", "modulus_n", "tension_n", "sag_m", "total_m"])
def test_an_absurd_line_is_refused_with_its_field_and_range(field: str, value: Any) -> None:
    if field == "total_m" and value is None:
        return  # one span
    with pytest.raises(Refused) as refused:
        loaded(replace(WIRE, **{field: value}), 6000)
    assert refused.value.field == field
    assert refused.value.low is not None
    assert refused.value.high is not None


@pytest.mark.parametrize("value", [*ABSURD, 0, 100_000])
def test_an_absurd_load_is_refused_with_its_range(value: Any) -> None:
    with pytest.raises(Refused) as refused:
        loaded(WIRE, value)
    assert (refused.value.field, refused.value.low, refused.value.high) == ("force_n", 500, 22_000)
    for users in (0, 5, math.nan):
        with pytest.raises(Refused) as crowd:
            loaded(WIRE, 6000, users)  # type: ignore[arg-type]
        assert (crowd.value.field, crowd.value.high) == ("users", 4)


@given(
    st.floats(2, 40),
    st.floats(500_000, 5_000_000),
    st.floats(0, 3000),
    st.floats(50, 140),
    st.floats(0, 3),
    st.floats(0.1, 1),
)
def test_longer_heavier_higher_and_more_people_never_drop_less(
    span: float, modulus: float, tension: float, mass: float, fall: float, more: float
) -> None:
    line = Lifeline(span, modulus, tension)
    least = drop(line, mass, fall, 4000).metres - 1e-9
    assert drop(line, mass + more, fall, 4000).metres >= least
    assert drop(line, mass, fall + more, 4000).metres >= least
    assert loaded(line, 4000, 2).sag_m >= loaded(line, 4000).sag_m
    assert loaded(replace(line, span_m=span + more), 4000).sag_m >= loaded(line, 4000).sag_m
    assert loaded(replace(line, total_m=span + more), 4000).sag_m >= loaded(line, 4000).sag_m
    assert loaded(replace(line, sag_m=span / 20), 4000).sag_m >= loaded(line, 4000).sag_m
