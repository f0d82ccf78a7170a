"""Kept figures of a fall: what is read of them, and what is refused, with the field and why."""

from __future__ import annotations

import json

import pytest

from readiness.rules.sums.fall import fall_answer, fall_clearance
from readiness.rules.sums.fall_figures import read_fall
from readiness.rules.sums.redo import Changed, redo_reasons
from readiness.rules.sums.values import Refused
from tests.readiness.fall_figures import lanyard_figures, retractable_figures


@pytest.mark.parametrize(
    ("changed", "required", "available"),
    [
        ({"anchor_m": 0.0, "below": [{"name": "a", "depth_m": 4.2}]}, 6.75, 4.2),
        ({}, 4.75, 6.0),
        (
            {
                "length_m": 1.5,
                "extension_m": 1.2,
                "anchor_m": 1.5,
                "below": [{"name": "a", "depth_m": 5.0}],
            },
            4.2,
            5.0,
        ),
        (
            {
                "anchor_m": 0.0,
                "anchor_stretch_m": 1.2,
                "below": [{"name": "a", "depth_m": 9.0}],
            },
            7.95,
            9.0,
        ),
    ],
)
def test_kept_figures_give_the_worked_clearances(
    changed: dict[str, object], required: float, available: float
) -> None:
    found = fall_clearance(json.loads(json.dumps(lanyard_figures(**changed))))
    assert (found.required_m, found.available_m) == (required, available)


@pytest.mark.parametrize(
    ("changed", "field", "code"),
    [
        ({"format": 2}, "format", "not-known"),
        ({"mass_kg": None}, "mass_kg", "missing"),
        ({"mass_kg": "100"}, "mass_kg", "not-a-number"),
        ({"mass_kg": True}, "mass_kg", "not-a-number"),
        ({"mass_kg": 140}, "mass_kg", "outside-product"),
        ({"lightest_kg": 120}, "lightest_kg", "out-of-range"),
        ({"lightest_kg": 60, "min_kg": 70}, "lightest_kg", "outside-product"),
        ({"length_m": None}, "length_m", "missing"),
        ({"length_m": 4}, "length_m", "out-of-range"),
        ({"anchor_m": None}, "anchor_m", "missing"),
        ({"below": None}, "below", "missing"),
        ({"below": [{"name": "a"}]}, "below.0.depth_m", "missing"),
        ({"below": [{"name": "a", "depth_m": 3, "wide": 1}]}, "below.0.wide", "not-known"),
        ({"rule": "en-9"}, "rule", "not-known"),
        ({"where": "mars"}, "where", "not-known"),
        ({"margin_m": 0.4}, "margin", "out-of-range"),
        ({"offset_m": 2.5}, "offset_m", "out-of-range"),
        ({"colour": "blue"}, "colour", "not-known"),
        ({"arrest_m": 1.0}, "arrest_m", "not-known"),
        ({"extension_m": 0.05}, "extension", "extension-too-short"),
        ({"over_edge": True}, "over_edge", "not-edge-rated"),
        (
            {"chart": {"axes": ["mass_kg"], "plane": "anchor", "rows": []}},
            "chart.source",
            "missing",
        ),
        ({"system": "no-absorber", "rule": None}, "system", "no-absorber"),
        (
            {"obstacles": [{"left_m": 1, "right_m": 0, "bottom_m": 0, "top_m": 1}]},
            "obstacles.0.right_m",
            "out-of-range",
        ),
    ],
)
def test_a_figure_that_cannot_be_used_is_refused_with_its_field(
    changed: dict[str, object], field: str, code: str
) -> None:
    with pytest.raises(Refused) as refused:
        fall_answer(lanyard_figures(**changed))
    assert (refused.value.field, refused.value.code) == (field, code)


def test_the_products_own_chart_goes_before_the_formula() -> None:
    chart = {
        "source": "instructions, page 12",
        "axes": ["mass_kg"],
        "plane": "anchor",
        "rows": [{"at": [80], "required_m": 5.0}, {"at": [100], "required_m": 5.6}],
        "includes": ["margin", "harness"],
    }
    found = fall_answer(lanyard_figures(chart=chart)).clearance
    assert (found.used, found.required_m) == ("chart", 3.6)


def test_a_line_that_pays_out_needs_room_for_the_drop_of_its_swing() -> None:
    straight = fall_clearance(retractable_figures(offset_m=0)).required_m
    aside = fall_clearance(retractable_figures()).required_m
    assert aside == pytest.approx(straight + 0.33)  # (6, 2): 0.32 m, rounded up with the rest


def test_a_device_on_a_sling_swings_with_the_sling_and_drops_the_more() -> None:
    """3 m above the attachment, 3 m aside, 1 m of sling hanging straight: 1 m + sqrt(2² + 3²) of line;
    it hangs 4.606 m below the anchor in the end, where it was 3 m: 1.606 m. Without a sling: 1.243 m."""
    aside = {"anchor_m": 4.5, "offset_m": 3.0}
    bare = fall_answer(retractable_figures(**aside)).swung
    slung = fall_answer(retractable_figures(**aside, sling_m=1.0)).swung
    assert bare is not None
    assert bare.swing.drop_m == pytest.approx(1.243, abs=0.001)
    assert slung is not None
    assert slung.swing.drop_m == pytest.approx(1.606, abs=0.001)
    assert slung.path.anchor == (0.0, 3.5)


def test_a_lanyard_swings_at_its_length_and_hangs_no_deeper_for_it() -> None:
    aside = read_fall(lanyard_figures(offset_m=1.0))
    assert aside.swing is not None
    assert aside.swing.angle_deg == pytest.approx(30)
    assert fall_clearance(lanyard_figures(offset_m=1.0)).required_m == 4.75


def test_a_swing_that_strikes_something_gives_no_room_to_count_on() -> None:
    beam = {"name": "beam", "left_m": -1.0, "right_m": 0.5, "bottom_m": 0.5, "top_m": 1.0}
    with pytest.raises(Refused) as refused:
        fall_clearance(retractable_figures(obstacles=[beam]))
    assert (refused.value.code, refused.value.facts["name"]) == ("swing-strikes", "beam")
    assert fall_answer(retractable_figures(obstacles=[beam])).swung is not None


def test_room_does_not_count_where_the_fall_is_stopped_too_hard() -> None:
    hard = {"force_n": 7000, "where": "en"}
    with pytest.raises(Refused) as refused:
        fall_clearance(lanyard_figures(**hard))
    assert (refused.value.code, refused.value.high) == ("over-force-limit", 6000)
    assert fall_answer(lanyard_figures(**hard)).too_hard is not None
    assert fall_clearance(
        lanyard_figures(**{**hard, "where": "us"})
    ).enough  # the limit is 8 kN there


def test_an_extension_shorter_than_any_body_could_bear_is_refused() -> None:
    """100 kg, 1.5 m, 8.007 kN at the most: 981 * 1.5 / (8007 - 981) = 0.209 m."""
    with pytest.raises(Refused) as refused:
        fall_clearance(lanyard_figures(extension_m=0.2))
    assert refused.value.low == 0.21
    assert fall_clearance(lanyard_figures(extension_m=0.21)).required_m == 3.21


def test_the_force_is_told_for_every_jurisdiction_only_where_it_is_known() -> None:
    assert fall_answer(lanyard_figures()).forces == {}
    known = fall_answer(lanyard_figures(force_n=4000))
    assert {where: check.within_limit for where, check in known.forces.items()} == {
        "en": True,
        "queensland": True,
        "us": True,
    }
    assert known.arrest is not None
    assert known.arrest.stroke_m == pytest.approx(0.49, abs=0.01)  # 981 N * 1.5 m / 3019 N


def test_only_what_differs_asks_for_the_sums_again() -> None:
    was = {"heaviest_kg": 100, "product": "A", "anchor_place": "beam"}
    assert redo_reasons(was, {**was, "lightest_kg": 60}) == ()
    assert redo_reasons(was, {"heaviest_kg": 120, "product": "A"}) == (
        Changed("heaviest_kg", 100, 120),
        Changed("anchor_place", "beam", None),
    )
