"""Units, rounding, planes and the figures of the rules."""

from __future__ import annotations

from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.rules.sums import figures, units
from readiness.rules.sums.values import GIVEN, Heights, Part, Plane, Refused, Sum, within
from tests.readiness.planning_rows import Row, rows


@pytest.mark.parametrize("row", rows("unit_conversion"), ids=str)
def test_forces_convert_exactly(row: Row) -> None:
    if "lbf" in row.inputs:
        assert row.is_met_by(units.newtons(row.inputs["lbf"]) / 1000)
    else:
        assert row.is_met_by(units.pounds_force(row.inputs["kN"] * 1000))


def test_every_factor_is_the_one_of_the_unit_library() -> None:
    pint = pytest.importorskip("pint", reason="the extra 'oracle' is not installed")
    unit = pint.UnitRegistry()
    assert unit.Quantity(1, "foot").to("meter").magnitude == pytest.approx(
        units.metres(1), rel=1e-15
    )
    assert unit.Quantity(1, "inch").to("meter").magnitude == pytest.approx(
        units.metres_from_inches(1), rel=1e-15
    )
    assert unit.Quantity(1, "pound").to("kilogram").magnitude == pytest.approx(
        units.kilograms(1), rel=1e-15
    )
    assert unit.Quantity(1, "pound_force").to("newton").magnitude == pytest.approx(
        units.newtons(1), rel=1e-15
    )


@given(st.floats(0, 1000))
def test_there_and_back_is_the_same(value: float) -> None:
    assert units.metres(units.feet(value)) == pytest.approx(value)
    assert units.kilograms(units.pounds(value)) == pytest.approx(value)
    assert units.newtons(units.pounds_force(value)) == pytest.approx(value)


@given(st.floats(0, 1000), st.sampled_from([units.STEP_M, units.STEP_FT]))
def test_what_is_required_rounds_up_and_what_there_is_down(value: float, step: float) -> None:
    up, down = units.required(value, step), units.available(value, step)
    assert down - 1e-9 <= value <= up + 1e-9
    assert up - down <= step + 1e-9


def test_a_round_figure_stays_as_it_is() -> None:
    assert units.required(2.0 + 1.75 + 1.5 + 0.5 + 1.0) == 6.75
    assert (units.required(0.1 + 0.2), units.available(0.3)) == (0.3, 0.3)
    assert (units.required(6.7501), units.available(6.7599)) == (6.76, 6.75)
    assert (units.required(units.feet(2.0), units.STEP_FT)) == 6.6
    assert (units.available(units.feet(2.0), units.STEP_FT)) == 6.5


@pytest.mark.parametrize("row", rows("reg_limit"), ids=str)
def test_the_figures_of_the_rules_are_kept_as_printed(row: Row) -> None:
    kept = figures.rule_figure(row.inputs["rule"], row.inputs["item"])
    assert [float(each) for each in kept.printed.split("..")] == [
        float(each) for each in row.expected.split("..")
    ]
    assert kept.unit == row.unit


def test_the_limits_in_use_are_the_figures_of_the_rules() -> None:
    assert figures.FORCE_LIMITS_N["us"].value == pytest.approx(units.newtons(1800))
    assert figures.FORCE_LIMITS_N["en"].value == 6000
    assert all(rule.max_kg.basis.source for rule in figures.ABSORBER_RULES.values())
    assert all(rule.max_kg.basis.source for rule in figures.RETRACTABLE_RULES.values())


HEIGHTS = st.builds(Heights, st.floats(-5, 30), st.floats(0.5, 2.2))


@given(HEIGHTS, st.floats(0, 20), st.sampled_from(Plane), st.sampled_from(Plane))
def test_a_depth_is_the_same_point_below_every_plane(
    heights: Heights, length: float, measured: Plane, read: Plane
) -> None:
    total = Sum((Part("lanyard", length, GIVEN),), measured, heights)
    again = Sum((Part("lanyard", total.below(read), GIVEN),), read, heights)
    assert again.below(measured) == pytest.approx(length)
    assert total.below(Plane.ANCHOR) - total.below(Plane.SURFACE) == pytest.approx(heights.anchor_m)


@pytest.mark.parametrize(
    ("value", "code"),
    [(None, "missing"), (nan, "not-a-number"), (True, "not-a-number"), (3.1, "out-of-range")],
)
def test_a_refusal_names_field_and_range(value: float, code: str) -> None:
    with pytest.raises(Refused) as refused:
        within("span_m", value, 1, 3)
    found = refused.value
    assert (found.field, found.code, found.low, found.high) == ("span_m", code, 1, 3)
