"""True of every clearance: heavier, farther, longer never needs less, and more margin never either."""

from __future__ import annotations

from dataclasses import replace
from math import inf

from hypothesis import given
from hypothesis import strategies as st

from readiness.rules.sums.chart import Chart, ChartRow
from readiness.rules.sums.clearance import Allowances, Below, Place, System, clearance
from readiness.rules.sums.clearance_guided import Guided
from readiness.rules.sums.clearance_lanyard import Lanyard
from readiness.rules.sums.clearance_levers import levers
from readiness.rules.sums.retractable import Retractable
from readiness.rules.sums.values import GIVEN, Figure, Plane, Refused

CHART = Chart(
    "a table made up for this test",
    ("anchor_m", "mass_kg"),
    tuple(
        ChartRow((anchor, mass), 7.5 - anchor + mass / 100)
        for anchor in (-5.0, 0.0, 1.0, 2.0, 4.0)
        for mass in (50.0, 100.0, 140.0)
    ),
)


def figures(low: float, high: float) -> st.SearchStrategy[Figure]:
    return st.floats(low, high).map(lambda value: Figure(value, GIVEN))


CHARTS = st.sampled_from([None, CHART])
LANYARDS = st.builds(
    Lanyard,
    length_m=st.floats(0.5, 2.0),
    extension=st.none() | figures(0.3, 1.75),
    force_n=st.none() | st.floats(2500, 6000),
    max_kg=st.just(140.0),
    chart=CHARTS,
)
RETRACTABLES = st.builds(
    Retractable,
    arrest=st.none() | figures(0.5, 2.5),
    arrest_below=figures(1.0, 3.0),
    max_below_m=st.just(1.5),
    max_kg=st.just(140.0),
    chart=CHARTS,
)
GUIDED = st.builds(
    Guided,
    line=st.sampled_from(["rigid", "flexible"]),
    line_stretch_m=st.floats(0, 2),
    max_kg=st.just(140.0),
    chart=CHARTS,
)
SYSTEMS = LANYARDS | RETRACTABLES | GUIDED
PLACES = st.builds(
    Place,
    anchor_m=st.floats(0, 3.5),
    below=st.lists(
        st.builds(Below, st.sampled_from(["the floor", "a beam"]), st.floats(0, 12)), min_size=1
    ).map(tuple),
    attachment_m=st.floats(1.0, 1.8),
    sling_m=st.floats(0, 1),
    crouch_m=st.floats(0, 0.8),
    swing_m=st.floats(0, 1),
)
MASSES = st.floats(50, 139)
MORE = st.floats(0.01, 1.0)
ROOM = Allowances()


def needs(
    system: System, place: Place, mass: float, room: Allowances = ROOM, under: Plane = Plane.SURFACE
) -> float:
    """What is refused can never be had: it needs more than there is anywhere."""
    try:
        return clearance(system, place, mass, room).needed.below(under)
    except Refused:
        return inf


def near(least: float) -> float:
    return least - 1e-9


@given(SYSTEMS, PLACES, MASSES, MORE)
def test_heavier_never_needs_less(system: System, place: Place, mass: float, more: float) -> None:
    assert needs(system, place, min(140, mass + more)) >= near(needs(system, place, mass))


@given(LANYARDS, PLACES, MASSES, MORE)
def test_a_longer_lanyard_never_needs_less(
    system: Lanyard, place: Place, mass: float, more: float
) -> None:
    """Up to where the shorter one reaches the anchor at all."""
    first = needs(system, place, mass)
    longer = needs(replace(system, length_m=min(2.0, system.length_m + more)), place, mass)
    assert first == inf or longer >= near(first)


@given(SYSTEMS, PLACES, MASSES, MORE)
def test_a_lower_anchor_never_needs_less_below_the_feet(
    system: System, place: Place, mass: float, more: float
) -> None:
    first = needs(system, place, mass)
    lower = needs(system, replace(place, anchor_m=(place.anchor_m or 0) - more), mass)
    assert first == inf or lower >= near(first)


@given(SYSTEMS, PLACES, MASSES, MORE, st.sampled_from(["sling_m", "crouch_m", "swing_m"]))
def test_more_sling_crouching_or_swing_never_needs_less(
    system: System, place: Place, mass: float, more: float, field: str
) -> None:
    first = needs(system, place, mass)
    worse = needs(system, replace(place, **{field: getattr(place, field) + more}), mass)
    assert first == inf or worse >= near(first)


@given(SYSTEMS, PLACES, MASSES, MORE)
def test_more_margin_never_needs_less(
    system: System, place: Place, mass: float, more: float
) -> None:
    wider = Allowances(margin=Figure(ROOM.margin.value + more, GIVEN))
    assert needs(system, place, mass, wider) >= near(needs(system, place, mass))


@given(SYSTEMS, PLACES, MASSES, st.floats(0, 12))
def test_one_more_thing_below_never_leaves_more_room(
    system: System, place: Place, mass: float, depth: float
) -> None:
    more = replace(place, below=(*place.below, Below("a duct", depth)))
    try:
        first, then = clearance(system, place, mass), clearance(system, more, mass)
    except Refused:
        return
    assert then.spare_m <= first.spare_m
    assert then.required_m == first.required_m


@given(SYSTEMS, PLACES, MASSES)
def test_what_is_left_over_is_the_same_below_every_plane(
    system: System, place: Place, mass: float
) -> None:
    try:
        found = clearance(system, place, mass)
    except Refused:
        return
    for plane in Plane:
        exact = found.available_below(plane) - found.needed.below(plane)
        assert exact + 1e-9 >= found.spare_m
        if found.needed.below(Plane.SURFACE) > 0:
            assert exact - found.spare_m <= 0.02 + 1e-9


@given(SYSTEMS, PLACES, MASSES)
def test_a_lever_leaves_what_it_says(system: System, place: Place, mass: float) -> None:
    try:
        found = clearance(system, place, mass)
    except Refused:
        return
    offered = levers(found, system, place, mass, ROOM)
    assert [each.code for each in offered[-2:]] == ["restraint", "platform"]
    for each in offered[:-2]:
        assert each.gain_m is not None
        assert each.gain_m > 0
        if each.code == "raise-anchor":
            again = clearance(system, replace(place, anchor_m=each.set_m), mass)
            assert again.spare_m == each.spare_m
