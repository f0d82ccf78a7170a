"""Rescue by numbers: rope, haul, energy, load and minutes, held to the check values."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.rules.sums import rescue_energy, rescue_haul, rescue_rope, suspension
from readiness.rules.sums.rescue_energy import Descender, descents
from readiness.rules.sums.rescue_haul import haul
from readiness.rules.sums.rescue_load import Component, load_fit
from readiness.rules.sums.rescue_rope import Rope, rope_fit
from readiness.rules.sums.rescue_times import (
    Timed,
    Way,
    rescue_seconds,
    timeline,
    timeline_by_drill,
)
from readiness.rules.sums.values import Refused
from tests.readiness.planning_rows import Row
from tests.readiness.rescue_vectors import rows


@rows("descender_max_descents")
def test_descents_in_a_class(row: Row) -> None:
    asked = row.inputs
    energy = rescue_energy.ENERGY_J[asked["class"]]
    assert energy == asked["E_J"]
    found = rescue_energy.most_descents(energy, asked["m"], asked["h"], asked["g"])
    assert found == int(row.expected)


@rows("descent_energy")
def test_energy_of_descents(row: Row) -> None:
    asked = row.inputs
    assert row.is_met_by(
        rescue_energy.descent_energy(asked["m"], asked["h"], asked["n"], asked["g"])
    )


@rows("descent_time_range")
def test_a_descent_lasts_between_the_two_speeds(row: Row) -> None:
    asked = row.inputs
    short, long = rescue_energy.descent_times(asked["h"], asked["v_min"], asked["v_max"])
    expected = [float(end) for end in row.expected.split("..")]
    assert [short, long] == pytest.approx(expected, abs=float(row.tolerance))


@rows("haul_actual_ma_simple")
def test_what_a_tackle_gives_after_its_losses(row: Row) -> None:
    asked = row.inputs
    assert row.is_met_by(rescue_haul.simple_advantage(asked["ratio"], asked["sheave_efficiency"]))


@rows("haul_effort")
def test_the_pull_at_the_hand(row: Row) -> None:
    asked = row.inputs
    found = haul(asked["m"], asked["ratio"], asked["sheave_efficiency"], lift_m=1)
    assert row.is_met_by(found.effort_n)


@rows("haul_effort_ideal")
def test_the_pull_without_losses(row: Row) -> None:
    assert row.is_met_by(rescue_haul.ideal_effort(row.inputs["load_lbf"], row.inputs["ratio"]))


@rows("haul_rope_pulled")
def test_rope_pulled_for_a_lift(row: Row) -> None:
    assert row.is_met_by(rescue_haul.rope_pulled(row.inputs["ratio"], row.inputs["lift"]))


@rows("rope_length_lower")
def test_rope_to_lower(row: Row) -> None:
    asked = row.inputs
    found = rescue_rope.lowering_rope(asked["height"], asked["anchor_to_device"], asked["tail"])
    assert row.is_met_by(found)


@rows("rope_length_haul_simple")
def test_rope_to_haul(row: Row) -> None:
    asked = row.inputs
    assert row.is_met_by(
        rescue_rope.hauling_rope(asked["ratio"], asked["separation"], asked["tail"])
    )


@rows("rescue_time")
def test_seconds_of_a_rescue(row: Row) -> None:
    asked = row.inputs
    way = Way(asked["lift"], asked["ratio"], asked["vr"], asked["lower"], asked["vl"])
    assert row.is_met_by(rescue_seconds(asked["alarm"], asked["access"], asked["rig"], way))
    told = timeline(asked["alarm"], asked["access"], Timed(asked["rig"]), way, 10)
    assert row.is_met_by(told.minutes * 60)


@rows("percent_below")
def test_minutes_that_ninety_five_of_a_hundred_bore(row: Row) -> None:
    code = {"Turner 2008 back attach": "back-2008", "Turner 2008 chest attach": "chest-2008"}
    found = suspension.study(code[row.inputs["dataset"]])
    assert found.says == "tolerated-by-95"
    assert row.is_met_by(found.minutes)


@rows("rescue_target")
def test_minutes_a_study_plans_with(row: Row) -> None:
    assert row.inputs["max_fraction_affected"] == 0.05
    found = suspension.study("back-2012")
    assert found.says == "affected-at-most-5"
    assert row.is_met_by(found.minutes)


def test_a_doubled_rope_is_twice_the_height() -> None:
    assert rescue_rope.doubled_rope(20) == 42


def test_the_rope_as_it_was_cut_back_counts_and_the_makers_height_too() -> None:
    need = rescue_rope.lowering_rope(48)
    cut = rope_fit(need, 48, Rope(actual_m=49, max_height_m=50))
    assert not cut.enough
    assert cut.governs == "rope"
    assert cut.spare_m == -1
    low = rope_fit(need, 48, Rope(actual_m=60, max_height_m=40, stopper=True))
    assert not low.enough
    assert low.governs == "max-height"
    assert rope_fit(need, 48, Rope(actual_m=50)).enough


def test_a_pole_reaches_the_attachment_or_is_told_too_short() -> None:
    assert rescue_rope.pole_spare(3.5, 4) == 0.5
    assert rescue_rope.pole_spare(4.5, 4) == -0.5


def test_a_haul_over_connectors_asks_for_more_than_a_handle_may() -> None:
    assert haul(100, 3, 0.5, 6).past_handle
    assert not haul(100, 6, 0.9, 6).past_handle
    assert haul(100, 3, 0.9, 6).effort_n > haul(100, 3, 0.9, 6).ideal_n


@pytest.mark.parametrize(
    ("en341_class", "mass", "height", "most"),
    [
        *[("A", 120, height, most) for height, most in ((20, 318), (50, 127), (90, 70))],
        *[("B", 120, height, most) for height, most in ((20, 63), (50, 25), (90, 14))],
        *[("C", 120, height, most) for height, most in ((20, 21), (50, 8), (90, 4))],
        ("B", 100, 100, 15),
        ("A", 280, 60, 45),
        ("D", 100, 40, 1),
    ],
)
def test_a_new_device_by_its_class(en341_class: str, mass: float, height: float, most: int) -> None:
    device = Descender(en341_class)
    assert descents(device, mass, height, most).enough
    assert descents(device, mass, height, most + 1).why == "spent"


def test_what_is_spent_is_gone() -> None:
    assert descents(Descender("D", used=1), 100, 20).left == 0
    assert descents(Descender("B", used=14), 100, 100).left == 1
    assert descents(Descender("B", used=15), 100, 100).why == "spent"


def test_earlier_descents_nobody_reckoned_count_as_the_most_the_label_allows() -> None:
    light = Descender("C", max_kg=200, max_height_m=100, used=1)
    assert descents(light, 100, 50).left == 6  # (500,000 - 196,200) / 49,050
    reckoned = Descender("C", max_kg=200, max_height_m=100, used=1, used_j=49_050)
    assert descents(reckoned, 100, 50).left == 9


def test_the_label_stands_above_the_class() -> None:
    assert descents(Descender("A", max_kg=100), 120, 20).why == "load"
    assert descents(Descender("A", max_height_m=40), 100, 50).why == "height"
    assert descents(Descender("A", marked_descents=2), 100, 20).left == 2


def test_an_accompanied_descent_has_both_in_it() -> None:
    alone, both = descents(Descender("B"), 100, 50), descents(Descender("B"), 100, 50, 1, 100)
    assert both.each_j == 2 * alone.each_j


def test_the_weakest_component_is_named() -> None:
    parts = (
        Component("harness", 140),
        Component("absorber", 100),
        Component("anchor strap", None),
        Component("descender", 200),
    )
    found = load_fit(parts, 118)
    assert found.weakest.name == "absorber"
    assert found.overloaded == ("absorber", "anchor strap")
    assert found.unmarked == ("anchor strap",)
    assert load_fit(parts, 100).fits


def test_a_rescuer_on_the_same_rope_counts_and_the_lightest_goes_alone() -> None:
    parts = (Component("descender", 200, min_kg=60),)
    assert load_fit(parts, 100, rescuer_kg=100).fits
    assert load_fit(parts, 101, rescuer_kg=100).overloaded == ("descender",)
    assert load_fit(parts, 100, 55).underloaded == ("descender",)


def test_a_drill_takes_the_place_of_estimates() -> None:
    way = Way(lower_m=20)
    guessed = timeline(60, 120, Timed(120), way, target_minutes=10)
    assert [step.code for step in guessed.steps] == ["alarm", "reach", "rig", "transfer", "bring"]
    assert guessed.estimated == ("rig",)
    drilled = timeline_by_drill(60, 120, Timed(7 * 60, date(2026, 9, 1)), target_minutes=10)
    assert drilled.estimated == ()
    assert drilled.minutes == 10
    assert drilled.in_time
    slow = timeline_by_drill(60, 121, Timed(7 * 60, date(2026, 9, 1)), target_minutes=10)
    assert not slow.in_time
    assert slow.spare_minutes == pytest.approx(-1 / 60)


def test_studies_are_told_with_their_source_and_shortest_first() -> None:
    past = suspension.shorter_than(9.5)
    assert [study.code for study in past] == ["chest-2008", "back-2012"]
    assert all(study.source and study.status for study in suspension.STUDIES)
    assert suspension.shorter_than(5) == ()


height = st.floats(1, 200)
load = st.floats(40, 250)


@given(height=height, load=load, more=st.floats(0.1, 50))
def test_heavier_or_higher_never_leaves_more_descents(
    height: float, load: float, more: float
) -> None:
    device = Descender("B")
    here = descents(device, load, height).left
    assert descents(device, load + more, height).left <= here
    assert descents(device, load, height + more).left <= here


@given(ratio=st.integers(1, 9), efficiency=st.floats(0.3, 1))
def test_a_tackle_never_gives_more_than_its_ratio(ratio: int, efficiency: float) -> None:
    gives = rescue_haul.simple_advantage(ratio, efficiency)
    assert 1 <= gives <= ratio + 1e-9
    assert rescue_haul.simple_advantage(ratio + 1, efficiency) > gives


@given(need=st.floats(0, 200), height=height, actual=st.floats(0, 200), more=st.floats(0, 50))
def test_more_rope_is_never_worse(need: float, height: float, actual: float, more: float) -> None:
    before = rope_fit(need, height, Rope(actual, 100)).enough
    assert rope_fit(need, height, Rope(actual + more, 100)).enough or not before


@given(load=load, extra=st.floats(0, 150), limits=st.lists(st.floats(50, 400), min_size=1))
def test_a_heavier_load_never_fits_better(load: float, extra: float, limits: list[float]) -> None:
    parts = [Component(f"part {number}", limit) for number, limit in enumerate(limits)]
    assert load_fit(parts, load).fits or not load_fit(parts, load, rescuer_kg=extra).fits


REFUSALS = {
    "class": (lambda: descents(Descender("E"), 100, 20), "en341_class", "not-a-class"),
    "mass": (lambda: descents(Descender("A"), 0, 20), "casualty_kg", "out-of-range"),
    "height": (lambda: descents(Descender("A"), 100, 0), "height_m", "out-of-range"),
    "efficiency": (lambda: haul(100, 3, 0, 1), "efficiency", "out-of-range"),
    "past-whole": (lambda: haul(100, 3, 1.01, 1), "efficiency", "out-of-range"),
    "ratio": (lambda: haul(100, 0, 0.9, 1), "ratio", "out-of-range"),
    "speeds": (lambda: rescue_energy.descent_times(20, 2, 0.5), "fastest_m_s", "out-of-range"),
    "standing-still": (
        lambda: rescue_seconds(1, 1, 1, Way(lower_m_s=0)),
        "lower_m_s",
        "out-of-range",
    ),
    "tail": (lambda: rescue_rope.lowering_rope(20, 0, -1), "tail_m", "out-of-range"),
    "nothing": (lambda: load_fit((), 100), "components", "missing"),
    "target": (lambda: timeline(1, 1, Timed(1), Way(), 0), "target_minutes", "out-of-range"),
    "study": (lambda: suspension.study("heard of"), "study", "not-known"),
}


@pytest.mark.parametrize("name", REFUSALS)
def test_what_has_no_answer_is_refused_by_name(name: str) -> None:
    ask, field, code = REFUSALS[name]
    with pytest.raises(Refused) as refused:
        ask()
    assert (refused.value.field, refused.value.code) == (field, code)
