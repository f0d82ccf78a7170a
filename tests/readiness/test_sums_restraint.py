"""Restraint as geometry: held to a geometry library, and to the cover rule's own sum."""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from math import cos, hypot, pi, sin, sqrt

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from readiness.rules.needs import restraint_shortfall
from readiness.rules.situation import Policy, Restraint, Task
from readiness.rules.sums.plan_view import Outline, bowed, nearest
from readiness.rules.sums.restraint import (
    Anchorage,
    Area,
    Layout,
    Restrained,
    Side,
    reached,
    restrained,
)
from readiness.rules.sums.values import Refused

ROOF = Layout(
    (
        Side("south eave", (0, 0), (20, 0)),
        Side("east gable", (20, 0), (20, 10)),
        Side("parapet", (20, 10), (0, 10), guarded=True),
        Side("west gable", (0, 10), (0, 0)),
    ),
    (Area("roof light", ((8, 4), (9, 4), (9, 5), (8, 5))),),
)


def anchor(x: float, y: float) -> Anchorage:
    return Anchorage("AN-1", ((x, y),))


def tightest(answer: Restrained) -> str:
    return answer.holds[0].name


def test_a_fixed_lanyard_that_cannot_reach_the_edge_is_restraint() -> None:
    answer = restrained(ROOF, anchor(4, 4), 3.4)
    assert answer.proven
    assert answer.system == "restraint"
    assert tightest(answer) == "roof light"
    assert answer.holds[0].spare_m == pytest.approx(0.1)


def test_the_edge_that_can_be_passed_is_named_with_how_far() -> None:
    answer = restrained(ROOF, anchor(14, 3), 3)
    assert answer.system == "arrest"
    assert [hold.name for hold in answer.passed] == ["south eave"]
    assert answer.passed[0].spare_m == pytest.approx(-0.5)
    assert answer.passed[0].at == (14, 0)


def test_reach_that_just_meets_the_edge_holds_as_in_the_cover_rule() -> None:
    assert restrained(ROOF, anchor(14, 3), 2.5).proven
    assert not restrained(ROOF, anchor(14, 3), 2.501).proven


def test_a_corner_is_reached_on_the_diagonal() -> None:
    """Edges 3 m and 4 m away as lines, but their only drawn part is 5 m away, round the corner."""
    layout = Layout((Side("south", (3, -4), (8, -4)), Side("east", (3, -4), (3, -9))))
    assert restrained(layout, anchor(0, 0), 4.5).proven
    answer = restrained(layout, anchor(0, 0), 4.6)
    assert {hold.name for hold in answer.passed} == {"south", "east"}
    assert answer.holds[0].at == (3, -4)


def test_a_guarded_side_is_no_edge_and_closes_the_rim() -> None:
    answer = restrained(ROOF, anchor(14, 9), 2)
    assert answer.proven
    assert answer.rim_closed
    assert "parapet" not in [hold.name for hold in answer.holds]
    open_rim = Layout(ROOF.sides[:2])
    assert not restrained(open_rim, anchor(14, 5), 2).rim_closed


def test_who_is_tied_within_a_fragile_area_is_not_restrained() -> None:
    answer = restrained(ROOF, anchor(8.5, 4.5), 0)
    assert tightest(answer) == "roof light"
    assert answer.holds[0].distance_m == 0
    assert answer.longest_m is None


def test_on_a_rail_the_reach_is_that_of_its_nearest_place() -> None:
    rail = Anchorage("RL-1", ((11, 2.6), (15, 2.0)))
    answer = restrained(ROOF, rail, 1.4)
    assert answer.proven
    assert answer.holds[0].at == pytest.approx((15, 0))
    assert not restrained(ROOF, rail, 1.6).proven


def test_a_flexible_line_gives_most_at_its_middle() -> None:
    edge_middle = Layout((Side("edge", (4, 3), (6, 3)),))
    edge_end = Layout((Side("edge", (-1, 3), (1, 3)),))
    line = Anchorage("LL-1", ((0, 0), (10, 0)), deflection_m=1)
    middle = restrained(edge_middle, line, 1).holds[0]
    end = restrained(edge_end, line, 1).holds[0]
    assert middle.deflection_m == pytest.approx(1, abs=0.002)
    assert 0.3 < end.deflection_m < 0.8


def test_the_longest_lanyard_that_would_hold_is_told() -> None:
    answer = restrained(Layout((Side("edge", (-5, 3.4), (5, 3.4)),)), anchor(0, 0), 3.5)
    assert answer.longest_m == pytest.approx(2.9)
    again = restrained(Layout((Side("edge", (-5, 3.4), (5, 3.4)),)), anchor(0, 0), 2.9)
    assert again.proven


coordinate = st.floats(-10, 10).map(lambda value: round(value, 2))
point = st.tuples(coordinate, coordinate)
chain = st.lists(point, min_size=2, max_size=4, unique=True).map(tuple)
lengths = st.floats(0, 8).map(lambda value: round(value, 2))


@st.composite
def layouts(draw: st.DrawFn) -> Layout:
    corners = draw(chain)
    sides = tuple(
        Side(f"side {number}", start, end) for number, (start, end) in enumerate(pairwise(corners))
    )
    areas = []
    for number in range(draw(st.integers(0, 2))):
        x, y = draw(point)
        wide, deep = draw(st.floats(0.1, 3)), draw(st.floats(0.1, 3))
        around = ((x, y), (x + wide, y), (x + wide, y + deep), (x, y + deep))
        areas.append(Area(f"area {number}", around))
    return Layout(sides, tuple(areas))


@given(layout=layouts(), points=chain, reach=lengths)
def test_ways_agree_with_a_geometry_library(
    layout: Layout, points: tuple[tuple[float, float], ...], reach: float
) -> None:
    shapely = pytest.importorskip("shapely", reason="the extra 'oracle' is not installed")
    answer = restrained(layout, Anchorage("rail", points), reach)
    rail = shapely.LineString(points)
    named = {side.name: shapely.LineString((side.start, side.end)) for side in layout.sides}
    named |= {area.name: shapely.Polygon(area.corners) for area in layout.areas}
    for hold in answer.holds:
        assert hold.distance_m == pytest.approx(rail.distance(named[hold.name]), abs=1e-9)
        assert named[hold.name].distance(shapely.Point(hold.at)) < 1e-6
    reached = rail.buffer(reach + 0.5, quad_segs=32)
    for hold in answer.holds:
        if abs(hold.spare_m) > 0.02:
            assert hold.can_be_passed == reached.intersects(named[hold.name])


@given(start=point, end=point, give=st.floats(0.01, 3), edge=chain)
def test_a_bowed_line_is_never_told_too_short(
    start: tuple[float, float],
    end: tuple[float, float],
    give: float,
    edge: tuple[tuple[float, float], ...],
) -> None:
    """Against the true ellipse: its points lie within, and the polygon adds a hair only."""
    shapely = pytest.importorskip("shapely", reason="the extra 'oracle' is not installed")
    assume(hypot(end[0] - start[0], end[1] - start[1]) > 0.01)
    half = hypot(end[0] - start[0], end[1] - start[1]) / 2
    drawn = bowed(start, end, give)
    area = shapely.Polygon(drawn.points)
    long_axis = sqrt(half**2 + give**2)
    ux, uy = (end[0] - start[0]) / 2 / half, (end[1] - start[1]) / 2 / half
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    ellipse = []
    for step in range(360):
        along, across = long_axis * cos(pi * step / 180), give * sin(pi * step / 180)
        x = middle[0] + along * ux - across * uy
        y = middle[1] + along * uy + across * ux
        assert hypot(x - start[0], y - start[1]) + hypot(x - end[0], y - end[1]) == pytest.approx(
            2 * long_axis
        )
        ellipse.append((x, y))
    assert area.buffer(1e-9).contains(shapely.Polygon(ellipse))
    ours = nearest(drawn, Outline(edge)).distance_m
    line = shapely.LineString(edge)
    assert ours == pytest.approx(area.distance(line), abs=1e-9)
    assert ours <= shapely.Polygon(ellipse).distance(line) + 1e-9


@given(points=chain, reach=st.floats(0.1, 8), give=st.floats(0, 2))
def test_the_reach_that_is_drawn_holds_all_that_is_reached_and_a_hair_more(
    points: tuple[tuple[float, float], ...], reach: float, give: float
) -> None:
    shapely = pytest.importorskip("shapely", reason="the extra 'oracle' is not installed")
    drawn = shapely.union_all(
        [shapely.Polygon(area.points) for area in reached(Anchorage("line", points, give), reach)]
    )
    bare = shapely.LineString(points).buffer(reach, quad_segs=64)
    assert drawn.buffer(1e-6).contains(bare)
    widest = shapely.LineString(points).buffer((reach + give) * 1.01 + 0.02, quad_segs=64)
    assert widest.buffer(1e-6).contains(drawn)


@given(layout=layouts(), points=chain, reach=lengths, give=st.floats(0, 2))
def test_the_answer_is_the_one_of_the_cover_rule(
    layout: Layout, points: tuple[tuple[float, float], ...], reach: float, give: float
) -> None:
    answer = restrained(layout, Anchorage("line", points, give), reach)
    hold = answer.holds[0]
    told = Restraint(answer.reach_m, hold.deflection_m, hold.distance_m)
    day = date(2026, 11, 2)
    task = Task("t", "z", day, day, "restraint", (), restraint=told)
    assert answer.proven == (restraint_shortfall(task, Policy()) is None)


@given(layout=layouts(), points=chain, reach=lengths, give=st.floats(0, 2), more=st.floats(0, 2))
def test_more_lanyard_or_more_give_is_never_better(
    layout: Layout, points: tuple[tuple[float, float], ...], reach: float, give: float, more: float
) -> None:
    before = restrained(layout, Anchorage("line", points, give), reach)
    longer = restrained(layout, Anchorage("line", points, give), reach + more)
    looser = restrained(layout, Anchorage("line", points, give + more), reach)
    assert longer.holds[0].spare_m <= before.holds[0].spare_m + 1e-9
    assert looser.holds[0].spare_m <= before.holds[0].spare_m + 1e-9


@given(layout=layouts(), points=chain, reach=lengths, more=layouts())
def test_another_edge_is_never_better(
    layout: Layout, points: tuple[tuple[float, float], ...], reach: float, more: Layout
) -> None:
    both = Layout(layout.sides + more.sides, layout.areas + more.areas)
    line = Anchorage("line", points)
    one, two = restrained(layout, line, reach), restrained(both, line, reach)
    assert two.holds[0].spare_m <= one.holds[0].spare_m


@pytest.mark.parametrize(
    ("ask", "field", "code"),
    [
        (lambda: restrained(Layout(()), anchor(0, 0), 2), "layout", "no-edge"),
        (lambda: restrained(ROOF, anchor(0, 0), -1), "lanyard_m", "out-of-range"),
        (lambda: restrained(ROOF, anchor(0, 0), 2, body_m=-1), "body_m", "out-of-range"),
        (lambda: restrained(ROOF, Anchorage("A", ()), 2), "anchorage", "missing"),
        (
            lambda: restrained(ROOF, Anchorage("A", ((0, 0),), -1), 2),
            "deflection_m",
            "out-of-range",
        ),
        (lambda: restrained(ROOF, anchor(float("nan"), 0), 2), "anchorage AN-1", "not-a-number"),
        (
            lambda: restrained(Layout((), (Area("gap", ((0, 0), (1, 1))),)), anchor(0, 0), 2),
            "area gap",
            "too-few-corners",
        ),
    ],
)
def test_what_cannot_be_judged_is_refused_by_name(ask: object, field: str, code: str) -> None:
    with pytest.raises(Refused) as refused:
        ask()
    assert (refused.value.field, refused.value.code) == (field, code)
