"""Clearance: the worked sums, the reference planes, a product's chart, and what is refused."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from readiness.rules.sums.chart import Chart, ChartRow
from readiness.rules.sums.clearance import Allowances, Below, Place, System, clearance
from readiness.rules.sums.clearance_guided import Guided, line_stretch
from readiness.rules.sums.clearance_lanyard import Lanyard, free_fall
from readiness.rules.sums.clearance_levers import levers
from readiness.rules.sums.retractable import Retractable
from readiness.rules.sums.units import metres, required
from readiness.rules.sums.values import (
    GIVEN,
    Basis,
    Figure,
    Heights,
    Part,
    Plane,
    Refused,
    Sum,
)
from tests.readiness import planning_rows
from tests.readiness.planning_rows import Row, rows

FLAT = Heights(0, 0)
SUMS = planning_rows.CLEARANCE - {"free_fall_lanyard", "clearance_reference_plane"}
FLOOR = (Below("the conveyor", 6.0),)


def given(metres_: float) -> Figure:
    return Figure(metres_, GIVEN)


@pytest.mark.parametrize("row", rows(*SUMS), ids=str)
def test_a_total_is_the_plain_sum_of_its_parts(row: Row) -> None:
    lengths = row.inputs.get("parts", row.inputs)
    parts = tuple(Part(code, length, GIVEN) for code, length in lengths.items())
    assert row.is_met_by(Sum(parts, Plane.ANCHOR, FLAT).metres)


@pytest.mark.parametrize("row", rows("free_fall_lanyard"), ids=str)
def test_the_free_fall_of_a_lanyard(row: Row) -> None:
    at = row.inputs
    assert row.is_met_by(free_fall(at["lanyard"], at["dring_height"], at["anchor_height"]))


@pytest.mark.parametrize("row", rows("clearance_reference_plane"), ids=str)
def test_the_same_fall_read_below_each_plane(row: Row) -> None:
    at = row.inputs
    found = clearance(*osha(at), 100, allowances(metres(at["shift"]), metres(at["safety"])))
    planes = {"below_anchor": Plane.ANCHOR, "below_initial_dring": Plane.ATTACHMENT}
    assert row.is_met_by(found.needed.below(planes[at["plane"]]) / 0.3048)
    assert found.needed.below(Plane.SURFACE) / 0.3048 == pytest.approx(8.5)


def osha(at: dict[str, Any]) -> tuple[System, Place]:
    deceleration = Figure(metres(at["decel"]), Basis("read"))
    place = Place(metres(at["anchor_height"]), FLOOR, metres(at["dring_height"]))
    return Lanyard(metres(at["lanyard"]), "osha", deceleration), place


def allowances(harness: float, margin: float) -> Allowances:
    return Allowances(given(harness), given(margin))


@pytest.mark.parametrize(
    ("given_m", "free_fall_m", "below_anchor_m", "there_is_m", "spare_m"),
    [
        ((2.0, 1.75, 0.0, 0.0), 3.5, 6.75, 4.2, -2.55),
        ((2.0, 1.75, 2.0, 0.0), 1.5, 6.75, 6.0, 1.25),
        ((1.5, 1.20, 1.5, 0.0), 1.5, 5.70, 5.0, 0.80),
        ((2.0, 1.75, 0.0, 1.2), 3.5, 7.95, 9.0, 1.05),
        ((2.0, 1.75, 2.0, 0.0), 1.5, 6.75, 4.0, -0.75),
    ],
)
def test_the_worked_table_of_an_absorber_lanyard(
    given_m: tuple[float, float, float, float],
    free_fall_m: float,
    below_anchor_m: float,
    there_is_m: float,
    spare_m: float,
) -> None:
    """`given_m`: lanyard, absorber extension, anchor above the feet, what the anchor line gives."""
    length, extension, anchor, gives = given_m
    stretch = (Part("anchor-stretch", gives, GIVEN),) if gives else ()
    place = Place(anchor, (Below("the floor", there_is_m),), anchor_gives=stretch)
    found = clearance(Lanyard(length, extension=given(extension)), place, 100)
    assert found.free_fall_m == free_fall_m
    assert required(found.needed.below(Plane.ANCHOR)) == below_anchor_m
    assert found.required_m == pytest.approx(below_anchor_m - anchor)
    assert found.spare_m == spare_m
    assert found.enough == (spare_m > 0)


def test_the_parts_come_in_order_each_with_its_basis() -> None:
    place = Place(2.0, FLOOR, sling_m=0.6, swing_m=0.3)
    needed = clearance(Lanyard(2.0), place, 90).needed
    assert [(part.code, part.metres) for part in needed.parts] == [
        *(("lanyard", 2.0), ("extension", 1.75), ("body", 1.5)),
        *(("sling", 0.6), ("harness", 0.5), ("swing", 0.3), ("margin", 1.0)),
    ]
    assert needed.parts[1].basis.status == "read-2"
    assert "EN 355" in needed.parts[1].basis.source
    assert needed.parts[-1].basis.status == "policy"


def test_the_first_thing_in_the_way_counts_and_is_named() -> None:
    below = (Below("the ground", 12.0), Below("the conveyor", 4.999), Below("the landing", 7.0))
    found = clearance(Lanyard(2.0), Place(2.0, below), 100)
    assert found.first_struck.name == "the conveyor"
    assert found.available_m == 4.99
    assert found.spare_m == 0.24


def test_a_sling_lengthens_the_fall_and_the_sum() -> None:
    straight = clearance(Lanyard(1.5), Place(2.0, FLOOR), 100)
    slung = clearance(Lanyard(1.5), Place(2.0, FLOOR, sling_m=0.5), 100)
    assert slung.free_fall_m == straight.free_fall_m + 0.5
    assert slung.required_m == straight.required_m + 0.5


def test_a_retractable_overhead() -> None:
    """2.0 arrest + 0.5 harness + 1.0 margin."""
    assert clearance(Retractable(), Place(3.0, FLOOR), 100).required_m == 3.5


def test_a_retractable_overhead_with_kneeling_and_swing() -> None:
    place = Place(3.0, FLOOR, crouch_m=0.6, swing_m=0.32)
    assert clearance(Retractable(), place, 100).required_m == 4.42


def test_published_sums_of_retractables_come_out_of_the_rule_itself() -> None:
    """7.5, 6.0 and 12.5 ft below the feet."""
    feet = allowances(metres(1), metres(3))
    overhead = Place(metres(9), FLOOR, metres(5))
    at_foot = Place(0.0, FLOOR, metres(5))
    for rule, place, expected in (
        ("ansi-z359-14-2021-1", overhead, 7.5),
        ("ansi-z359-14-2014-a", overhead, 6.0),
        ("ansi-z359-14-2021-2", at_foot, 12.5),
    ):
        needed = clearance(Retractable(rule), place, 100, feet).needed
        assert needed.below(Plane.SURFACE) / 0.3048 == pytest.approx(expected)


def test_a_retractable_at_the_shoulder_is_as_overhead_and_a_hand_lower_is_not() -> None:
    assert clearance(Retractable(), Place(1.5, FLOOR), 100).required_m == 3.5
    with pytest.raises(Refused) as refused:
        clearance(Retractable(), Place(1.4, FLOOR), 100)
    assert (refused.value.field, refused.value.code) == ("anchor_m", "below-the-attachment")
    assert refused.value.low == 1.5


def test_a_retractable_below_the_attachment_needs_the_makers_figure() -> None:
    allowed = Retractable(max_below_m=1.5)
    with pytest.raises(Refused, match="maker-figure-needed"):
        clearance(allowed, Place(0.0, FLOOR), 100)
    told = replace(allowed, arrest_below=given(2.2))
    assert clearance(told, Place(0.0, FLOOR), 100).required_m == 1.5 + 2.2 + 0.5 + 1.0


def test_a_retractable_over_an_edge_needs_the_rating_and_the_makers_figure() -> None:
    edge = Place(2.0, FLOOR, over_edge=True)
    with pytest.raises(Refused, match="not-edge-rated"):
        clearance(Retractable(), edge, 100)
    with pytest.raises(Refused, match="maker-figure-needed"):
        clearance(Retractable(edge_rated=True), edge, 100)
    rated = Retractable(edge_rated=True, arrest_edge=given(3.1))
    assert clearance(rated, edge, 100).required_m == 4.6


def test_a_sling_lowers_a_retractable_to_below_the_attachment() -> None:
    assert clearance(Retractable(), Place(2.0, FLOOR, sling_m=0.5), 100).required_m == 3.5
    with pytest.raises(Refused) as refused:
        clearance(Retractable(), Place(2.0, FLOOR, sling_m=0.6), 100)
    assert (refused.value.code, refused.value.low) == ("below-the-attachment", 2.1)


@pytest.mark.parametrize(
    "system", [Lanyard(2.0), Guided("flexible", 0.2)], ids=["lanyard", "guided"]
)
def test_nothing_goes_over_an_edge_that_is_not_marked_for_it(
    system: Lanyard | Guided,
) -> None:
    edge = Place(2.0, FLOOR, over_edge=True)
    with pytest.raises(Refused) as refused:
        clearance(system, edge, 100)
    assert (refused.value.field, refused.value.code) == ("over_edge", "not-edge-rated")
    assert clearance(replace(system, edge_rated=True), edge, 100).used == "formula"


def test_a_guided_arrester_on_a_rigid_and_on_a_flexible_line() -> None:
    place = Place(5.0, FLOOR)
    assert clearance(Guided("rigid"), place, 100).required_m == 2.5
    assert clearance(Guided("flexible", 0.4), place, 100).required_m == 4.9
    with pytest.raises(Refused) as refused:
        clearance(Guided("flexible"), place, 100)
    assert (refused.value.field, refused.value.code) == ("line_stretch_m", "missing")
    assert line_stretch(6000, 20, 300_000) == pytest.approx(0.4)


CHART = Chart(
    "instructions for use, page 14",
    ("anchor_m", "mass_kg"),
    (
        *(ChartRow((0.0, 100), 6.0), ChartRow((0.0, 140), 6.6)),
        *(ChartRow((1.5, 100), 4.6), ChartRow((1.5, 140), 5.1)),
    ),
    includes=frozenset({"harness", "margin"}),
)


def charted(anchor: float, mass: float, chart: Chart = CHART) -> Any:
    place = Place(anchor, (Below("the floor", 9.0),))
    return clearance(Lanyard(2.0, max_kg=140, chart=chart), place, mass)


@pytest.mark.parametrize(
    ("anchor", "mass", "needs"),
    [(0.0, 100, 6.0), (1.5, 140, 5.1), (0.01, 100, 6.0), (1.49, 101, 6.6), (1.5, 101, 5.1)],
)
def test_between_rows_of_a_chart_the_worse_holds(anchor: float, mass: float, needs: float) -> None:
    found = charted(anchor, mass)
    assert (found.used, found.required_m) == ("chart", needs)
    assert found.needed.parts[0].basis.source == "instructions for use, page 14"


@pytest.mark.parametrize(
    ("anchor", "mass", "field", "low", "high"),
    [(-0.1, 100, "anchor_m", 0, 1.5), (1.6, 100, "anchor_m", 0, 1.5), (1, 99, "mass_kg", 100, 140)],
)
def test_outside_a_chart_there_is_no_answer(
    anchor: float, mass: float, field: str, low: float, high: float
) -> None:
    with pytest.raises(Refused) as refused:
        charted(anchor, mass)
    assert (refused.value.field, refused.value.code) == (field, "outside-chart")
    assert (refused.value.low, refused.value.high) == (low, high)


def test_a_chart_with_a_hole_gives_no_answer_beside_the_hole() -> None:
    holed = replace(CHART, rows=CHART.rows[:3])
    assert charted(1.5, 100, holed).required_m == 4.6
    with pytest.raises(Refused, match="chart-has-no-figure"):
        charted(1.2, 120, holed)


def test_what_a_chart_does_not_hold_is_added() -> None:
    bare = replace(CHART, includes=frozenset())
    assert charted(0.0, 100, bare).required_m == 7.5
    place = Place(0.0, FLOOR, swing_m=0.4)
    found = clearance(Lanyard(2.0, chart=CHART), place, 100)
    assert [part.code for part in found.needed.parts] == ["chart", "swing"]


def test_a_chart_is_read_at_the_end_of_the_sling() -> None:
    """Its rows: 4.6 m with the anchor at 1.5 m, 6.0 m at 0 m. A sling of 1 m brings 1.5 m down to 0.5."""
    slung = Place(1.5, (Below("the floor", 9.0),), sling_m=1.0)
    bare = clearance(Lanyard(2.0, chart=CHART), replace(slung, sling_m=0), 100)
    assert bare.required_m == 4.6
    assert clearance(Lanyard(2.0, chart=CHART), slung, 100).required_m == 6.0
    held = replace(CHART, includes=CHART.includes | {"sling"})
    assert clearance(Lanyard(2.0, chart=held), slung, 100).required_m == 4.6


def test_a_chart_that_asks_for_less_is_used_and_told() -> None:
    found = charted(0.0, 100)
    assert found.formula is not None
    assert [(flag.code, flag.facts["more_m"]) for flag in found.flags] == [
        ("formula-asks-for-more", 0.75)
    ]
    assert charted(1.5, 140, replace(CHART, rows=(ChartRow((1.5, 140), 9.0),))).flags == ()


def test_a_chart_stands_in_for_what_the_formula_does_not_know() -> None:
    edge = Place(1.0, FLOOR, over_edge=True, setback_m=2.0)
    chart = Chart("page 3", ("setback_m",), (ChartRow((1.5,), 5.0), ChartRow((3.0,), 5.4)))
    device = Retractable(edge_rated=True, max_below_m=0.5, chart=chart)
    found = clearance(device, edge, 100)
    assert (found.required_m, found.formula) == (5.4 + 1.5, None)


def test_an_absorber_that_is_used_up_has_no_clearance() -> None:
    heavy = Lanyard(2.0, extension=given(1.75), force_n=4000, max_kg=150)
    assert clearance(heavy, Place(0.0, FLOOR), 120)
    with pytest.raises(Refused) as refused:
        clearance(heavy, Place(0.0, FLOOR), 140)
    assert (refused.value.field, refused.value.code) == ("mass_kg", "bottoms-out")
    assert refused.value.high == 135.9  # 4000·1.75/(9.81·5.25) = 135.92, rounded down


def test_mass_is_held_to_the_product_and_to_its_standard() -> None:
    for lanyard, low, high in ((Lanyard(2.0), 50, 100), (Lanyard(2.0, "osha"), 50, 140)):
        with pytest.raises(Refused) as refused:
            clearance(replace(lanyard, length_m=1.8), Place(1.5, FLOOR), 145)
        assert (refused.value.code, refused.value.low) == ("outside-product", low)
        assert refused.value.high == high
    with pytest.raises(Refused) as light:
        clearance(Lanyard(2.0, min_kg=60), Place(1.5, FLOOR), 59)
    assert (light.value.field, light.value.low) == ("mass_kg", 60)


def test_a_fall_beyond_the_limit_is_refused() -> None:
    six_feet = Lanyard(metres(6), "osha")
    assert clearance(six_feet, Place(1.5, FLOOR), 100)
    with pytest.raises(Refused) as refused:
        clearance(six_feet, Place(1.49, FLOOR), 100)
    assert (refused.value.code, refused.value.high) == ("over-free-fall-limit", metres(6))


def test_an_anchor_out_of_reach_is_a_wrong_figure() -> None:
    with pytest.raises(Refused) as refused:
        clearance(Lanyard(2.0), Place(3.6, FLOOR), 100)
    assert (refused.value.field, refused.value.code) == ("anchor_m", "out-of-reach")
    assert refused.value.high == 3.5


@pytest.mark.parametrize("margin", [0.49, 0, -1, math.nan, None])
def test_a_margin_under_half_a_metre_is_refused(margin: float) -> None:
    with pytest.raises(Refused) as refused:
        clearance(Lanyard(2.0), Place(2.0, FLOOR), 100, allowances(0.5, margin))
    assert (refused.value.field, refused.value.low) == ("margin", 0.5)


ABSURD: list[Any] = [math.nan, math.inf, -math.inf, -99.0, 1e6, "2", None]


@pytest.mark.parametrize("value", ABSURD)
@pytest.mark.parametrize(
    "field", ["anchor_m", "attachment_m", "crouch_m", "sling_m", "swing_m", "below", "mass_kg"]
)
def test_an_absurd_figure_is_refused_with_its_field_and_range(field: str, value: Any) -> None:
    place, mass = Place(2.0, FLOOR), 100.0
    if field == "mass_kg":
        mass = value
    else:
        said: Any = (Below("the floor", value),) if field == "below" else value
        place = replace(place, **{field: said})
    for system in (Lanyard(2.0), Retractable(), Guided("rigid")):
        with pytest.raises(Refused) as refused:
            clearance(system, place, mass)
        assert refused.value.field == field
        assert refused.value.low is not None
        assert refused.value.high is not None


@pytest.mark.parametrize("value", ABSURD)
def test_an_absurd_product_is_refused_with_its_field(value: Any) -> None:
    figure = Figure(value, GIVEN)
    for field, system in (
        ("length_m", Lanyard(value)),
        ("extension", Lanyard(2.0, extension=figure)),
        ("arrest", Retractable(arrest=figure)),
        ("arrest", Guided("rigid", arrest=figure)),
    ):
        with pytest.raises(Refused) as refused:
            clearance(system, Place(2.0, FLOOR), 100)
        assert refused.value.field == field
        assert refused.value.high is not None


def test_without_anything_known_below_there_is_no_answer() -> None:
    with pytest.raises(Refused) as refused:
        clearance(Lanyard(2.0), Place(2.0), 100)
    assert (refused.value.field, refused.value.code) == ("below", "missing")


def test_the_first_levers_are_summed_and_in_order() -> None:
    place = Place(0.0, (Below("the conveyor", 4.2),))
    short = clearance(Lanyard(2.0), place, 100)
    found = levers(short, Lanyard(2.0), place, 100, Allowances())
    assert [(each.code, each.set_m, each.spare_m, each.gain_m) for each in found] == [
        ("raise-anchor", 2.5, -0.05, 2.5),
        ("shorter-lanyard", 1.0, -1.55, 1.0),
        ("retractable-overhead", 1.5, 0.7, 3.25),
        ("restraint", None, None, None),
        ("platform", None, None, None),
    ]


def test_an_anchor_is_raised_no_more_than_is_short() -> None:
    place = Place(1.0, (Below("the floor", 5.5),))
    short = clearance(Lanyard(2.0), place, 100)
    first = levers(short, Lanyard(2.0), place, 100, Allowances())[0]
    assert (first.code, first.set_m, first.spare_m) == ("raise-anchor", 1.25, 0.0)
