"""Kept figures of restraint (JSON, metres) become a layout seen from above and what holds in it.

Sides run from each corner to the next; the last goes back to the first where the rim is closed.
What is not there is not known; what is out of range, or lies where nobody works, is refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from readiness.rules.situation import Policy
from readiness.rules.sums.given import Given
from readiness.rules.sums.plan_view import Outline, Point, nearest
from readiness.rules.sums.restraint import (
    FARTHEST_M,
    Anchorage,
    Area,
    Hold,
    Layout,
    Restrained,
    Side,
    restrained,
)
from readiness.rules.sums.values import Refused, within

ANCHORAGES: Final = ("anchor", "rail", "line")
FEWEST_CORNERS: Final = 3
_TOUCHES_M: Final = 0.001


@dataclass(frozen=True, slots=True)
class RestraintCase:
    """One place of work, ready to be judged. `rim` holds its corners in order."""

    layout: Layout
    anchorage: Anchorage
    lanyard_m: float
    body_m: float
    rim: tuple[Point, ...]
    closed: bool


@dataclass(frozen=True, slots=True)
class RestraintAnswer:
    """What was found. Where the rim is open, nothing is proven: somebody could fall where no edge
    is drawn."""

    case: RestraintCase
    found: Restrained

    @property
    def proven(self) -> bool:
        return self.found.proven and self.case.closed

    @property
    def tightest(self) -> Hold:
        """The edge with least to spare: it decides for the cover of the task."""
        return self.found.holds[0]


def restraint_answer(figures: object, policy: Policy | None = None) -> RestraintAnswer:
    """Refused: whatever the reader or the sum refuses."""
    case = read_restraint(figures)
    found = restrained(case.layout, case.anchorage, case.lanyard_m, case.body_m, policy)
    return RestraintAnswer(case, found)


def read_restraint(figures: object) -> RestraintCase:
    """Refused: a figure missing, of the wrong kind or out of range, or one that nobody knows."""
    given = Given(figures)
    given.format()
    anchorage = _anchorage(given)
    corners = [_corner(row) for row in given.rows("corners")]
    closed = given.flag("closed")
    areas = tuple(_area(row) for row in given.rows("areas"))
    case = RestraintCase(
        layout=Layout(_sides(corners, closed=closed), areas),
        anchorage=anchorage,
        lanyard_m=given.must("lanyard_m"),
        body_m=given.number_or("body_m", 0),
        rim=tuple(side.start for side in corners),
        closed=closed,
    )
    given.end()
    _refuse_same_names(case.layout)
    if closed:
        _refuse_outside(case)
    return case


def _anchorage(given: Given) -> Anchorage:
    kind = given.one_of("anchorage", ANCHORAGES)
    points = tuple(_point(row) for row in given.rows("points"))
    if not points or (kind != "anchor" and len(points) == 1):
        raise Refused("points", "too-few-points", low=1 if kind == "anchor" else 2)
    if kind == "anchor" and len(points) > 1:
        raise Refused("points", "one-anchor")
    give = given.must("deflection_m") if kind == "line" else 0.0
    return Anchorage(given.text("name"), points, give)


def _place(row: Given) -> Point:
    x, y = (within(row.field(name), row.must(name), -FARTHEST_M, FARTHEST_M) for name in _XY)
    return (x, y)


_XY: Final = ("x_m", "y_m")


def _point(row: Given) -> Point:
    found = _place(row)
    row.end()
    return found


def _corner(row: Given) -> Side:
    """With the name of the side that begins there, and no end yet."""
    start = _place(row)
    found = Side(row.text("name"), start, start, row.flag("guarded"))
    row.end()
    return found


def _sides(corners: list[Side], *, closed: bool) -> tuple[Side, ...]:
    """Refused: fewer corners than enclose anything, and two corners in one place."""
    if closed and len(corners) < FEWEST_CORNERS:
        raise Refused("corners", "too-few-points", low=FEWEST_CORNERS)
    following = [*corners, *corners[:1]] if closed else corners
    sides = []
    for number, (one, after) in enumerate(pairwise(following)):
        if one.start == after.start:
            raise Refused(f"corners.{number}.x_m", "same-place")
        name = one.name or f"{number + 1}-{(number + 1) % len(corners) + 1}"
        sides.append(Side(name, one.start, after.start, one.guarded))
    return tuple(sides)


def _area(row: Given) -> Area:
    name = row.text("name")
    if not name:
        raise Refused(row.field("name"), "missing")
    corners = tuple(_point(point) for point in row.rows("corners"))
    row.end()
    if len(corners) < FEWEST_CORNERS:
        raise Refused(row.field("corners"), "too-few-points", low=FEWEST_CORNERS)
    return Area(name, corners)


def _refuse_same_names(layout: Layout) -> None:
    """An answer names its edge: two of one name could not be told apart."""
    places = [(f"corners.{number}.name", side.name) for number, side in enumerate(layout.sides)]
    places += [(f"areas.{number}.name", area.name) for number, area in enumerate(layout.areas)]
    seen: set[str] = set()
    for field, name in places:
        if name in seen:
            raise Refused(field, "same-name", name=name)
        seen.add(name)


def _refuse_outside(case: RestraintCase) -> None:
    """A point typed far away from the rim would be far from every edge, and proven in error."""
    rim = Outline(case.rim, filled=True)
    for number, point in enumerate(case.anchorage.points):
        if nearest(Outline((point,)), rim).distance_m > _TOUCHES_M:
            raise Refused(f"points.{number}.x_m", "outside-rim")
    for number, area in enumerate(case.layout.areas):
        if nearest(Outline(area.corners, filled=True), rim).distance_m > _TOUCHES_M:
            raise Refused(f"areas.{number}.corners", "outside-rim")
