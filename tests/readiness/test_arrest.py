"""Arrest force and absorbers, held to published and computed values; sources stand in the rows."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.rules.sums import arrest_absorber as absorbers
from readiness.rules.sums.arrest import Line, fall_factor, modulus_from_peak, spring_arrest
from readiness.rules.sums.arrest_absorber import Absorber, Arrest, absorb, force_to_stop, max_mass
from readiness.rules.sums.arrest_limits import (
    AnchorUse,
    anchor_check,
    anchor_needs,
    force_check,
    rigid_mass_limit,
    without_absorber,
)
from readiness.rules.sums.units import G, metres, newtons, pounds_force
from readiness.rules.sums.values import Refused
from tests.readiness.planning_rows import Row, rows

WIRE_N = 1_000_000  # the rows with a stiffer line are wire rope


def springs() -> list[Row]:
    return rows("arrest_peak_force_spring", "arrest_stretch_spring")


@pytest.mark.parametrize("row", [row for row in springs() if row.inputs["EA"] < WIRE_N], ids=str)
def test_a_textile_line_stops_by_its_stretch(row: Row) -> None:
    at = row.inputs
    arrest = spring_arrest(at["m"], at["h"], Line(at["L"], at["EA"]))
    assert row.is_met_by(arrest.peak_n if row.unit == "N" else arrest.stretch_m)


@pytest.mark.parametrize("row", [row for row in springs() if row.inputs["EA"] > WIRE_N], ids=str)
def test_wire_rope_is_refused_by_material_and_by_stiffness(row: Row) -> None:
    at = row.inputs
    with pytest.raises(Refused) as by_material:
        spring_arrest(at["m"], at["h"], Line(at["L"], at["EA"], "wire"))
    with pytest.raises(Refused) as by_stiffness:
        spring_arrest(at["m"], at["h"], Line(at["L"], at["EA"]))
    assert (by_material.value.field, by_material.value.code) == ("material", "wire-rope")
    assert (by_stiffness.value.field, by_stiffness.value.high) == ("modulus_n", 250_000)


@pytest.mark.parametrize("row", rows("rope_modulus_from_impact_force"), ids=str)
def test_the_modulus_follows_from_a_measured_force(row: Row) -> None:
    at = row.inputs
    assert row.is_met_by(modulus_from_peak(at["F"], at["m"], at["f"]))


def test_a_hundred_kilograms_on_a_static_metre_make_fifteen_to_sixteen_kilonewtons() -> None:
    """Common practice, no published source."""
    check = without_absorber(100, 1.0, 1.0, "en")
    assert 15_000 <= check.peak_n <= 16_000
    assert not check.within_limit


@pytest.mark.parametrize("row", rows("absorber_stroke"), ids=str)
def test_an_absorber_opens_by_the_energy_of_the_fall(row: Row) -> None:
    at = row.inputs
    arrest = absorb(at["m"], at["h"], Absorber(at["F_avg"]))
    assert row.is_met_by(arrest.stroke_m)
    assert arrest.peak_n == at["F_avg"]


@pytest.mark.parametrize("row", rows("absorber_stroke_us"), ids=str)
def test_an_absorber_opens_the_same_in_feet_and_pounds(row: Row) -> None:
    at = row.inputs
    mass = newtons(at["weight_lbf"]) / G
    arrest = absorb(mass, metres(at["free_fall_ft"]), Absorber(newtons(at["F_avg_lbf"])))
    assert row.is_met_by(arrest.stroke_m / 0.0254)


@pytest.mark.parametrize("row", rows("absorber_min_force", "avg_force_for_stop"), ids=str)
def test_the_force_that_stops_within_a_length(row: Row) -> None:
    at = row.inputs
    if row.unit == "N":
        found = force_to_stop(at["m"] * G, at["h"], at["x"])
    else:
        found = force_to_stop(at["weight_lbf"], at["free_fall_ft"], at["decel_ft"])
    assert row.is_met_by(found)


@pytest.mark.parametrize("row", rows("twice_impact_energy"), ids=str)
def test_twice_the_energy_of_the_fall(row: Row) -> None:
    at = row.inputs
    assert row.is_met_by(absorbers.twice_impact_energy(at["weight_lbf"], at["free_fall_ft"]))


@pytest.mark.parametrize("row", rows("rigid_mass_conversion"), ids=str)
def test_a_rigid_weight_may_read_more_than_a_body(row: Row) -> None:
    assert row.inputs["factor"] == 1.4
    assert row.is_met_by(rigid_mass_limit(row.inputs["body_limit_lbf"]))


@pytest.mark.parametrize("row", rows("max_mass_before_bottom_out"), ids=str)
def test_the_heaviest_that_does_not_use_the_absorber_up(row: Row) -> None:
    at = row.inputs
    most = max_mass(at["F_avg"], at["h"], at["stroke_max"])
    assert row.is_met_by(most)
    absorber = Absorber(at["F_avg"], at["stroke_max"])
    if most < 150:
        assert not absorb(most - 0.01, at["h"], absorber).bottomed
        assert absorb(most + 0.01, at["h"], absorber).bottomed


@pytest.mark.parametrize(
    "row", rows("absorber_elastoplastic_peak", "absorber_elastoplastic_distance"), ids=str
)
def test_a_line_and_an_absorber_in_series(row: Row) -> None:
    at = row.inputs
    arrest = absorb(at["m"], at["h"], Absorber(at["F_d"], at["stroke_max"], at["k"]))
    assert row.is_met_by((arrest.peak_n if row.unit == "N" else arrest.distance_m) or math.nan)


@pytest.mark.parametrize(
    ("mass", "fall", "stroke"),
    [(100, 2.0, 0.65), (100, 3.5, 1.14), (100, 4.0, 1.30), (140, 2.0, 1.05), (60, 2.0, 0.35)],
)
def test_worked_strokes_of_a_four_kilonewton_absorber(
    mass: float, fall: float, stroke: float
) -> None:
    assert round(absorb(mass, fall, Absorber(4000, 1.75)).stroke_m, 2) == stroke


def test_a_heavy_person_uses_the_absorber_up_and_nothing_is_promised() -> None:
    arrest = absorb(140, 3.5, Absorber(4000, 1.75, max_kg=100))
    assert arrest.bottomed
    assert (arrest.distance_m, arrest.peak_n) == (None, None)
    assert codes(arrest) == ["mass-over-maximum", "bottoms-out"]


def test_what_is_known_behind_the_absorber_gives_the_peak() -> None:
    """140 kg, 4 m, 4 kN, 1.75 m, 45 kN/m: 10 463 N over 1.9825 m (computed and integrated)."""
    arrest = absorb(140, 4.0, Absorber(4000, 1.75, 45_000))
    assert arrest.peak_n == pytest.approx(10_463, rel=1e-3)
    assert arrest.distance_m == pytest.approx(1.9825, rel=1e-3)


def test_a_light_person_is_flagged_and_stopped_hard() -> None:
    arrest = absorb(60, 2.0, Absorber(4000, 1.75, min_kg=75))
    assert codes(arrest) == ["mass-under-minimum"]
    assert force_check(4000, 60, "en").gravities == pytest.approx(5.8, abs=0.05)


def test_more_than_85_per_cent_of_the_extension_is_flagged() -> None:
    opened = absorb(100, 4.0, Absorber(4000)).stroke_m
    assert codes(absorb(100, 4.0, Absorber(4000, opened / 0.86))) == ["extension-near-end"]
    assert codes(absorb(100, 4.0, Absorber(4000, opened / 0.84))) == []


def test_an_absorber_weaker_than_the_weight_cannot_stop() -> None:
    with pytest.raises(Refused) as refused:
        absorb(120, 2.0, Absorber(1100))
    assert (refused.value.field, refused.value.code) == ("force_n", "cannot-stop")
    assert refused.value.low == pytest.approx(120 * G)
    assert absorb(120, 2.0, Absorber(1100, 1.75)).bottomed


def test_the_force_limit_is_that_of_the_place() -> None:
    assert force_check(6000, 100, "en").within_limit
    assert not force_check(6000.1, 100, "queensland").within_limit
    assert force_check(8006, 100, "us").within_limit
    assert not force_check(newtons(1800.1), 100, "us").within_limit
    with pytest.raises(Refused):
        force_check(1, 100, "nowhere")


@pytest.mark.parametrize(
    ("use", "kilonewtons"),
    [
        (AnchorUse("en"), 12),
        (AnchorUse("en", textile=True), 18),
        (AnchorUse("en", users=2), 13),
        (AnchorUse("queensland", limited_fall=True), 12),
        (AnchorUse("queensland"), 15),
        (AnchorUse("queensland", users=2), 21),
        (AnchorUse("us"), 22.241),
        (AnchorUse("us", users=3), 66.723),
        (AnchorUse("alberta", users=2), 32),
    ],
)
def test_an_anchor_needs_the_figure_of_the_place(use: AnchorUse, kilonewtons: float) -> None:
    needed = anchor_needs(use)
    assert needed.value / 1000 == pytest.approx(kilonewtons, abs=1e-3)
    assert needed.basis.source
    assert anchor_check(needed.value, use).enough
    assert not anchor_check(needed.value - 1, use).enough


def test_five_thousand_pounds_force_for_each_person() -> None:
    assert pounds_force(anchor_needs(AnchorUse("us", 2)).value) == pytest.approx(10_000)


def test_three_on_one_anchor_are_refused_where_only_two_are_written() -> None:
    with pytest.raises(Refused) as refused:
        anchor_needs(AnchorUse("queensland", 3))
    assert (refused.value.field, refused.value.low, refused.value.high) == ("users", 1, 2)


BAD = [None, math.nan, math.inf, -1, 0, 1e9, "100", True]


@pytest.mark.parametrize("value", BAD)
def test_an_absurd_mass_is_refused_with_its_range(value: float) -> None:
    for ask in (
        lambda: absorb(value, 2.0, Absorber(4000)),
        lambda: spring_arrest(value, 1.0, Line(1.0)),
    ):
        with pytest.raises(Refused) as refused:
            ask()
        assert (refused.value.field, refused.value.low, refused.value.high) == ("mass_kg", 50, 150)


@pytest.mark.parametrize("value", [None, math.nan, -0.01, 4.01])
def test_an_absurd_fall_is_refused_with_its_range(value: float) -> None:
    with pytest.raises(Refused) as refused:
        absorb(100, value, Absorber(4000))
    assert (refused.value.field, refused.value.low, refused.value.high) == ("free_fall_m", 0, 4)
    with pytest.raises(Refused) as factor:
        fall_factor(value, 2.0)
    assert (factor.value.field, factor.value.low, factor.value.high) == ("free_fall_m", 0, 4)


@pytest.mark.parametrize(
    ("absorber", "field"),
    [
        (Absorber(math.nan), "force_n"),
        (Absorber(0), "force_n"),
        (Absorber(4000, -1), "stroke_m"),
        (Absorber(4000, 1.75, 0), "stiffness"),
    ],
)
def test_an_absurd_absorber_is_refused_by_field(absorber: Absorber, field: str) -> None:
    with pytest.raises(Refused) as refused:
        absorb(100, 2.0, absorber)
    assert refused.value.field == field
    assert refused.value.low is not None


def test_a_peak_under_twice_the_weight_has_no_modulus() -> None:
    with pytest.raises(Refused) as refused:
        modulus_from_peak(1900, 100, 1.0)
    assert refused.value.low == pytest.approx(1962)


MASSES = st.floats(50, 149)
FALLS = st.floats(0, 3.9)
MORE = st.floats(0.01, 1)


@given(MASSES, FALLS, MORE, st.sampled_from([None, 1.0, 1.75]), st.sampled_from([None, 45_000]))
def test_heavier_or_farther_never_opens_or_stops_less(
    mass: float, fall: float, more: float, stroke: float | None, stiffness: float | None
) -> None:
    absorber = Absorber(4000, stroke, stiffness)
    first = absorb(mass, fall, absorber)
    heavier = absorb(mass + more, fall, absorber)
    farther = absorb(mass, min(4.0, fall + more), absorber)
    for worse in (heavier, farther):
        assert worse.stroke_m >= first.stroke_m - 1e-12
        assert worse.bottomed or not first.bottomed
        if worse.peak_n is not None and first.peak_n is not None:
            assert worse.peak_n >= first.peak_n - 1e-6
        if worse.distance_m is not None and first.distance_m is not None:
            assert worse.distance_m >= first.distance_m - 1e-9


@given(MASSES, st.floats(0, 2), st.floats(5_000, 200_000), MORE)
def test_only_the_fall_factor_decides_not_the_length(
    mass: float, factor: float, modulus: float, more: float
) -> None:
    short = spring_arrest(mass, factor * 1.0, Line(1.0, modulus))
    long = spring_arrest(mass, factor * 2.0, Line(2.0, modulus))
    assert short.peak_n == pytest.approx(long.peak_n)
    assert spring_arrest(mass + more, factor, Line(1.0, modulus)).peak_n > short.peak_n
    assert spring_arrest(mass, factor, Line(1.0, modulus * 1.1)).peak_n >= short.peak_n


def codes(arrest: Arrest) -> list[str]:
    return [flag.code for flag in arrest.flags]
