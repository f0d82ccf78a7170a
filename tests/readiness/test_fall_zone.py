"""Where below an anchor one may work, what a swing too far does to an answer, and what an anchor needs."""

from __future__ import annotations

from math import cos, radians, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readiness.rules.situation import Policy
from readiness.rules.sums.fall import FallAnswer, fall_answer, fall_clearance
from readiness.rules.sums.units import NEWTONS_IN_POUND_FORCE, kilograms, metres
from readiness.rules.sums.values import Refused
from tests.readiness.fall_figures import lanyard_figures, retractable_figures

DEEP = [{"name": "deck", "depth_m": 20.0}]
BEAM = {"name": "beam", "left_m": 1.5, "right_m": 2.0, "bottom_m": -1.0, "top_m": 0.5}


def answer(**changed: object) -> FallAnswer:
    return fall_answer(retractable_figures(**changed))


def refused(figures: dict[str, object], policy: Policy | None = None) -> Refused:
    with pytest.raises(Refused) as found:
        fall_clearance(figures, policy)
    return found.value


def test_the_zone_of_a_line_that_pays_out_ends_at_the_angle() -> None:
    """6 m below the anchor, 30 degrees: 6 tan 30 = 3.464 m. 3.5 m is just past it (worked row)."""
    zone = answer(offset_m=3.4, below=DEEP).zone
    assert (zone.limit, zone.radius_m) == ("angle", pytest.approx(6 / sqrt(3)))
    assert zone.holds_work
    assert not answer(offset_m=3.5, below=DEEP).zone.holds_work


@settings(deadline=None, max_examples=60)
@given(st.floats(2, 12), st.floats(3.6, 9))
def test_at_the_rim_of_the_zone_there_is_just_room_and_past_it_there_is_not(
    anchor: float, depth: float
) -> None:
    """Held to the whole sum done again with the work put there."""
    below = [{"name": "deck", "depth_m": depth}]
    zone = answer(anchor_m=anchor, offset_m=None, below=below).zone
    rim = answer(anchor_m=anchor, offset_m=max(zone.radius_m - 0.02, 0), below=below)
    assert rim.clearance.enough
    assert rim.swung is None or rim.swung.swing.word != "too-far"
    past = answer(anchor_m=anchor, offset_m=zone.radius_m + 0.3, below=below)
    assert past.swung is not None
    assert not past.clearance.enough or past.swung.swing.word == "too-far"


def test_a_level_lower_down_has_less_room_and_a_longer_line() -> None:
    """Spare 2.5 m without a swing: 1 m lower 1.5 m are left, and the line is 1 m longer."""
    zone = answer(offset_m=None).zone
    assert [level.vertical_m for level in zone.levels] == [6, 7, 8]
    assert zone.levels[2].radius_m == pytest.approx(sqrt(0.5 * (0.5 + 16)))


def test_a_lanyard_keeps_its_length_so_that_only_the_angle_ends_its_zone() -> None:
    assert fall_answer(lanyard_figures()).zone.radius_m == pytest.approx(1.0)  # 2 m, sin 30
    assert fall_answer(lanyard_figures(anchor_m=0.0)).zone.radius_m == 0, "short without a swing"


def test_a_device_level_with_the_attachment_leaves_no_zone_to_either_side() -> None:
    assert answer(anchor_m=1.5, offset_m=None, below=DEEP).zone.radius_m == 0


def test_what_the_swing_would_strike_ends_the_zone_before_it() -> None:
    """With the work at the rim nothing is struck; two steps farther out the beam is."""
    zone = answer(offset_m=None, below=DEEP, obstacles=[BEAM]).zone
    assert (zone.limit, zone.struck) == ("strike", "beam")
    inside = answer(offset_m=zone.radius_m, below=DEEP, obstacles=[BEAM])
    beyond = answer(offset_m=zone.radius_m + 0.1, below=DEEP, obstacles=[BEAM])
    assert inside.swung is not None
    assert beyond.swung is not None
    assert (inside.swung.strikes, bool(beyond.swung.strikes)) == ((), True)


def row(*places: float, **work: object) -> dict[str, object]:
    return {
        "below": DEEP,
        "offset_m": None,
        "row": [{"at_m": place} for place in places],
        "row_work": {"from_m": 0, "to_m": 12, **work},
    }


def test_work_along_a_row_of_anchors_has_gaps_where_they_stand_too_far_apart() -> None:
    """Radius 3.464 m: anchors at 2 and 10 m leave 5.464 to 6.536 m."""
    (gap,) = answer(**row(2, 10)).zone.gaps
    assert (gap.from_m, gap.to_m) == (pytest.approx(5.4641), pytest.approx(6.5359))
    assert answer(**row(2, 6, 10)).zone.gaps == ()


def test_along_a_rail_there_is_no_gap_but_past_its_ends_and_too_far_beside_it() -> None:
    assert answer(**row(2, 10, runs=True)).zone.gaps == ()
    ends = answer(**row(4, 8, runs=True)).zone.gaps
    assert [(gap.from_m, gap.to_m) for gap in ends] == [
        (0, pytest.approx(0.5359, abs=1e-4)),
        (pytest.approx(11.4641, abs=1e-4), 12),
    ]
    (whole,) = answer(**row(2, 10, runs=True, aside_m=4)).zone.gaps
    assert (whole.from_m, whole.to_m) == (0, 12)


@pytest.mark.parametrize(
    ("changed", "field", "code"),
    [
        ({"row": [{"at_m": 1}]}, "row_work.from_m", "missing"),
        (row(), "row", "too-few-anchors"),
        (row(3, runs=True), "row", "too-few-anchors"),
        (row(3, to_m=-1), "row_work.to_m", "out-of-range"),
        (row(3, depth=1), "row_work.depth", "not-known"),
    ],
)
def test_a_row_without_sense_is_refused(changed: dict[str, object], field: str, code: str) -> None:
    found = refused(retractable_figures(**changed))
    assert (found.field, found.code) == (field, code)


def test_a_swing_past_the_employers_angle_is_no_room_to_count_on() -> None:
    """Room enough, and not counted: 30.3 degrees where 30 is the limit; at 30 it is counted."""
    far = retractable_figures(offset_m=3.5, below=DEEP)
    found = fall_answer(far)
    assert found.clearance.enough
    assert found.against == ("swing",)
    assert (refused(far).code, refused(far).high) == ("swings-too-far", 30)
    assert fall_clearance(far, Policy(swing_most_deg=31)).enough
    assert fall_clearance(lanyard_figures(offset_m=1.0)).enough


def test_work_that_leaves_the_zone_along_a_row_is_no_room_to_count_on() -> None:
    assert refused(retractable_figures(**row(2, 10))).code == "work-outside-zone"
    assert fall_clearance(retractable_figures(**row(2, 6, 10))).enough


@pytest.mark.parametrize(
    ("told", "needed"),
    [
        ({"where": "en"}, 12_000),
        ({"where": "en", "anchor_users": 2, "anchor_textile": True}, 19_000),
        ({"where": "queensland", "anchor_users": 2}, 21_000),
        ({"where": "us", "anchor_users": 2}, 10_000 * NEWTONS_IN_POUND_FORCE),
    ],
)
def test_what_the_anchor_needs_by_where_the_work_is(told: dict[str, object], needed: float) -> None:
    """EN 795:2012, WHS Regulation 2011 (Qld) s 306I, 29 CFR 1926.502(d)(15)."""
    found = answer(**told).anchor
    assert found.needed.value == pytest.approx(needed)
    assert not found.too_weak, "nothing is told of its rating"
    assert answer(**told, anchor_rating_n=needed).against == ()
    assert (
        refused(retractable_figures(**told, anchor_rating_n=needed - 10)).code == "anchor-too-weak"
    )


def test_the_ends_of_a_lifeline_need_twice_what_they_get() -> None:
    """By the sag it comes to: T = F sqrt(a2 + s2) / 2s, statics alone (29 CFR 1926.502(d)(8))."""
    line = {"span_m": 12, "modulus_n": 2_500_000, "tension_n": 500}
    found = fall_answer(
        lanyard_figures(force_n=4500, lifeline=line, below=DEEP, anchor_rating_n=40_000)
    )
    (sag,) = [p.metres for p in found.clearance.needed.parts if p.code == "lifeline-sag"]
    pull = 6000 * sqrt(36 + sag * sag) / (2 * sag)
    assert found.anchor.pull_n == pytest.approx(pull)
    assert found.anchor.needed.value == pytest.approx(2 * pull)
    assert found.anchor.too_weak == (2 * pull > 40_000)


def test_the_same_force_stops_the_lightest_hardest() -> None:
    """60 kg under 4 kN: 5.8 g above standing still (worked row of common practice)."""
    found = fall_answer(lanyard_figures(force_n=4000, lightest_kg=60)).light
    assert found is not None
    assert round(found.gravities, 1) == 5.8
    unknown = fall_answer(lanyard_figures(lightest_kg=60)).light
    assert unknown is not None
    assert unknown.peak_n == 6000, "with no force known, the most the place lets through"
    assert fall_answer(lanyard_figures(force_n=4000)).light is None


def test_the_least_force_and_twice_the_energy_where_us_rules_hold() -> None:
    """310 lb, 6 ft of free fall, stopped in 3.5 ft: 841.4 lbf on average; 3,720 ft-lbf twice."""
    figures = lanyard_figures(
        where="us",
        rule="osha",
        mass_kg=kilograms(310),
        max_kg=kilograms(311),
        length_m=metres(6),
        attachment_m=metres(5),
        anchor_m=metres(5),
        below=DEEP,
    )
    found = fall_answer(figures)
    assert found.least_n is not None
    assert found.twice_j is not None
    pull = NEWTONS_IN_POUND_FORCE * 9.81 / 9.80665  # the trade reckons with 9.81
    assert found.least_n == pytest.approx(841.43 * pull, rel=1e-4)
    assert found.twice_j == pytest.approx(3720 * pull * 0.3048, rel=1e-4)


def test_whoever_crouches_below_a_retractable_swings_as_wide_as_upright_and_hangs_lower() -> None:
    upright, crouched = answer(below=DEEP), answer(below=DEEP, crouch_m=0.8)
    assert upright.swung is not None
    assert crouched.swung is not None
    assert crouched.swung.swing == upright.swung.swing
    deep = crouched.swung.path.outer_m
    assert deep >= sqrt(6.8**2 + 4) + 2.0 + 0.5 + 1.5, "line from crouched, arrest, harness, body"
    assert crouched.clearance.required_m >= upright.clearance.required_m + 0.7
    assert cos(radians(upright.swung.swing.angle_deg)) == pytest.approx(6 / sqrt(40))
