"""A swing to one side: the check values, what only grows, and where the zone below an anchor ends."""

from __future__ import annotations

from math import hypot, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.rules.sums import swing as swings
from readiness.rules.sums.swing import SwingPolicy, safe_radius, swing
from readiness.rules.sums.swing_zone import Level, Stretch, gaps_along, safe_zone, zone_along
from readiness.rules.sums.values import Refused
from tests.readiness.planning_rows import Row
from tests.readiness.rescue_vectors import rows

metres = st.floats(0, 50)
deep = st.floats(0.5, 50)


@rows("swing_drop_fixed_line")
def test_a_fixed_line_drops_by_what_it_is_longer_than_plumb(row: Row) -> None:
    assert row.is_met_by(swings.fixed_line_drop(row.inputs["L"], row.inputs["x"]))


@rows("swing_drop_srl_overhead")
def test_a_line_overhead_drops_by_what_it_paid_out(row: Row) -> None:
    assert row.is_met_by(
        swings.overhead_drop(row.inputs["anchor_above_dring"], row.inputs["offset"])
    )


@rows("swing_drop_roof_edge")
def test_at_a_roof_edge_the_line_drops_by_more_than_the_setback(row: Row) -> None:
    setback = row.inputs["anchor_setback"]
    if "line_length" in row.inputs:
        drop = swings.roof_edge_drop_by_line(setback, row.inputs["line_length"])
    else:
        drop = swings.roof_edge_drop(setback, row.inputs["lateral_offset"])
    assert row.is_met_by(drop)


@rows("swing_speed_bottom")
def test_the_speed_at_the_lowest_point(row: Row) -> None:
    given_ = row.inputs
    assert row.is_met_by(swings.bottom_speed(given_["L"], given_["angle_deg"], given_["g"]))


@rows("swing_tension_ratio")
def test_the_pull_at_the_lowest_point_in_weights(row: Row) -> None:
    assert row.is_met_by(swings.strain(row.inputs["angle_deg"]))


@pytest.mark.parametrize(
    ("vertical", "offset", "drop", "speed", "angle", "word"),
    [
        (6, 2, 0.32, 2.5, 18, "small"),
        (6, 3.5, 0.95, 4.3, 30, "too-far"),  # 30.26 degrees: just past the angle
        (3, 3, 1.24, 4.9, 45, "too-far"),
        (6, 2.5, 0.5, 3.1, 23, "look"),
        (6, 0, 0, 0, 0, "plumb"),
        (0, 2, 2, 6.3, 90, "too-far"),  # level with the anchor
    ],
)
def test_a_swing_told_whole(
    vertical: float, offset: float, drop: float, speed: float, angle: float, word: str
) -> None:
    found = swing(vertical, offset)
    assert found.drop_m == pytest.approx(drop, abs=0.005)
    assert found.speed_m_s == pytest.approx(speed, abs=0.05)
    assert found.angle_deg == pytest.approx(angle, abs=0.5)
    assert found.word == word


@given(vertical=deep, offset=metres, further=st.floats(0.01, 10))
def test_further_aside_is_never_better(vertical: float, offset: float, further: float) -> None:
    near, far = swing(vertical, offset), swing(vertical, offset + further)
    assert far.drop_m >= near.drop_m
    assert far.speed_m_s >= near.speed_m_s
    assert far.strain >= near.strain


@given(vertical=deep, offset=metres, higher=st.floats(0.01, 10))
def test_a_higher_anchor_is_never_worse(vertical: float, offset: float, higher: float) -> None:
    low, high = swing(vertical, offset), swing(vertical + higher, offset)
    assert high.drop_m <= low.drop_m + 1e-12
    assert high.angle_deg <= low.angle_deg


@given(vertical=deep, offset=metres)
def test_the_speed_is_that_of_a_fall_through_the_drop(vertical: float, offset: float) -> None:
    found = swing(vertical, offset)
    assert found.speed_m_s**2 == pytest.approx(2 * 9.81 * found.drop_m, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize(("line", "angle"), [(6, 30), (2, 60), (10, 15), (4, 90)])
def test_speed_and_pull_are_those_of_the_motion_followed_step_by_step(
    line: float, angle: float
) -> None:
    """A pendulum let go from rest, by the leapfrog scheme: no energy law is used."""
    turn, rate, step = radians(angle), 0.0, 1e-5
    while turn > 0:
        rate -= 9.81 / line * sin(turn) * step
        turn += rate * step
    assert swings.bottom_speed(line, angle) == pytest.approx(-rate * line, rel=1e-4)
    pull = 1 + rate * rate * line / 9.81  # weight and what keeps the mass on its circle
    assert swings.strain(angle) == pytest.approx(pull, rel=1e-4)


@given(vertical=deep, spare=st.floats(0, 5))
def test_at_the_safe_radius_neither_angle_nor_clearance_is_spent(
    vertical: float, spare: float
) -> None:
    radius = safe_radius(vertical, spare)
    found = swing(vertical, radius)
    assert found.angle_deg <= 30 + 1e-6
    assert found.drop_m <= spare + 1e-9
    beyond = swing(vertical, radius + 0.01)
    assert beyond.angle_deg > 30 or beyond.drop_m > spare


def test_nothing_to_spare_leaves_no_room_aside() -> None:
    assert safe_radius(6, 0) == 0
    assert safe_radius(6, -1) == 0


def test_the_angle_that_spends_the_clearance_is_the_one_of_its_swing() -> None:
    angle = swings.angle_that_spends(6, 0.5)
    radius = (6.5**2 - 6**2) ** 0.5
    assert swing(6, radius).angle_deg == pytest.approx(angle)
    assert swings.angle_that_spends(0, 0) == 0


def test_the_zone_below_an_anchor_is_a_cone_cut_back_by_the_clearance() -> None:
    assert safe_zone([4, 2], 10) == (
        Level(2, pytest.approx(2 * 3**-0.5)),
        Level(4, pytest.approx(4 * 3**-0.5)),
    )
    lowest = safe_zone([2, 4], 2.0)[1]
    assert lowest.radius_m == 0  # two metres lower, the two metres of spare are gone


def test_a_policy_of_fifteen_degrees_makes_the_zone_narrower() -> None:
    assert safe_radius(10, 5, SwingPolicy(most_deg=15)) == pytest.approx(2.679, abs=0.001)


def test_along_a_row_of_anchors_zones_join_and_gaps_are_told() -> None:
    zone = zone_along([0, 3, 10], radius_m=2)
    assert zone == (Stretch(-2, 5), Stretch(8, 12))
    assert gaps_along(Stretch(0, 14), zone) == (Stretch(5, 8), Stretch(12, 14))
    assert gaps_along(Stretch(0, 5), zone) == ()
    assert gaps_along(Stretch(-3, 1), ()) == (Stretch(-3, 1),)


def test_work_beside_the_row_has_less_of_each_zone() -> None:
    assert zone_along([0], radius_m=5, aside_m=4) == (Stretch(-3, 3),)
    assert zone_along([0], radius_m=2, aside_m=2.1) == ()


@given(places=st.lists(st.floats(-30, 30), min_size=1, max_size=6), radius=st.floats(0.1, 8))
def test_every_place_of_the_work_is_in_the_zone_or_in_a_gap(
    places: list[float], radius: float
) -> None:
    zone = zone_along(places, radius)
    gaps = gaps_along(Stretch(-20, 20), zone)
    for step in range(-200, 201):
        here = step / 10
        safe = any(abs(here - place) <= radius for place in places)
        told_as_gap = any(gap.from_m + 1e-9 < here < gap.to_m - 1e-9 for gap in gaps)
        assert not (safe and told_as_gap)
        assert safe or any(gap.from_m - 1e-9 <= here <= gap.to_m + 1e-9 for gap in gaps)


@pytest.mark.parametrize(
    ("ask", "field"),
    [
        (lambda: swing(-0.1, 1), "vertical_m"),
        (lambda: swing(1, -0.1), "offset_m"),
        (lambda: swings.fixed_line_drop(3, 3.01), "offset_m"),
        (lambda: swings.roof_edge_drop_by_line(10, 9.99), "line_m"),
        (lambda: swings.bottom_speed(6, 91), "angle_deg"),
        (lambda: safe_radius(6, 1, SwingPolicy(most_deg=90)), "most_deg"),
        (lambda: swing(float("nan"), 1), "vertical_m"),
    ],
    ids=["below-zero", "aside", "past-the-line", "short-line", "angle", "policy", "not-a-number"],
)
def test_what_the_pendulum_does_not_hold_for_is_refused_by_name(ask: object, field: str) -> None:
    with pytest.raises(Refused) as refused:
        ask()
    assert refused.value.field == field


def test_the_line_is_the_straight_way_to_the_anchor() -> None:
    assert swing(3, 4).line_m == hypot(3, 4)
