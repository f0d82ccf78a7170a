"""Shapes seen from above, in metres, and how far they are from one another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, hypot, pi, sin, sqrt
from typing import Final

Point = tuple[float, float]

SIDES: Final = 72
"""Corners of the polygon drawn around an ellipse. It lies wholly outside, by less than
0.1 % of the half axis, so that a reach is never told too small."""


@dataclass(frozen=True, slots=True)
class Outline:
    """One point, a chain of straight lines, or (`filled`) the area that a ring encloses."""

    points: tuple[Point, ...]
    filled: bool = False

    def lines(self) -> Iterator[tuple[Point, Point]]:
        if len(self.points) == 1:
            yield self.points[0], self.points[0]
        yield from pairwise(self.points)
        if self.filled:
            yield self.points[-1], self.points[0]


@dataclass(frozen=True, slots=True)
class Nearest:
    """The shortest way from one outline to another: its length, and its two ends."""

    distance_m: float
    start: Point
    end: Point


def nearest(one: Outline, other: Outline) -> Nearest:
    """The shortest straight way between two outlines; 0 where they touch, cross or overlap."""
    inside = _inside_one_another(one, other)
    if inside is not None:
        return Nearest(0.0, inside, inside)
    ways = (_between_lines(first, second) for first in one.lines() for second in other.lines())
    return min(ways, key=lambda way: way.distance_m)


def holds(area: Outline, point: Point) -> bool:
    """Whether a point lies within a filled outline (its rim is for `nearest` to find)."""
    if not area.filled:
        return False
    within = False
    for (x1, y1), (x2, y2) in area.lines():
        crosses = (y1 > point[1]) != (y2 > point[1])
        if crosses and point[0] < x1 + (point[1] - y1) * (x2 - x1) / (y2 - y1):
            within = not within
    return within


def _inside_one_another(one: Outline, other: Outline) -> Point | None:
    if holds(one, other.points[0]):
        return other.points[0]
    if holds(other, one.points[0]):
        return one.points[0]
    return None


def _between_lines(one: tuple[Point, Point], other: tuple[Point, Point]) -> Nearest:
    """Two straight lines cross, or the shortest way touches an end of one of them."""
    crossing = _crossing(one, other)
    if crossing is not None:
        return Nearest(0.0, crossing, crossing)
    ways = [_from_point(end, other) for end in one]
    back = [_from_point(end, one) for end in other]
    ways += [Nearest(way.distance_m, way.end, way.start) for way in back]
    return min(ways, key=lambda way: way.distance_m)


def _from_point(point: Point, line: tuple[Point, Point]) -> Nearest:
    (x1, y1), (x2, y2) = line
    dx, dy = x2 - x1, y2 - y1
    square = dx * dx + dy * dy
    along = 0.0 if square == 0 else ((point[0] - x1) * dx + (point[1] - y1) * dy) / square
    along = min(1.0, max(0.0, along))
    foot = (x1 + along * dx, y1 + along * dy)
    return Nearest(hypot(point[0] - foot[0], point[1] - foot[1]), point, foot)


def _crossing(one: tuple[Point, Point], other: tuple[Point, Point]) -> Point | None:
    """Where two lines cross that are not parallel; touching ends are found by distance."""
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = other
    turn = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    if turn == 0:
        return None
    along_one = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / turn
    along_other = ((cx - ax) * (by - ay) - (cy - ay) * (bx - ax)) / turn
    if not (0 <= along_one <= 1 and 0 <= along_other <= 1):
        return None
    return (ax + along_one * (bx - ax), ay + along_one * (by - ay))


def bowed(start: Point, end: Point, deflection_m: float) -> Outline:
    """Where the runner of a flexible line can be pulled to, sideways in any direction.

    A line of fixed length between two ends lets its runner onto an ellipse whose half
    minor axis is the deflection at mid-span and whose foci are the ends. What is given is a
    polygon around that ellipse, so that the reach is told too large rather than too small.
    The line's own stretch is part of the deflection that is put in.
    """
    half = hypot(end[0] - start[0], end[1] - start[1]) / 2
    if deflection_m == 0:
        return Outline((start, end))
    long_axis = sqrt(half * half + deflection_m * deflection_m)
    ux, uy = (
        (1.0, 0.0)
        if half == 0
        else ((end[0] - start[0]) / 2 / half, (end[1] - start[1]) / 2 / half)
    )
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    outside = 1 / cos(pi / SIDES)
    points = []
    for side in range(SIDES):
        along = long_axis * outside * cos(2 * pi * side / SIDES)
        across = deflection_m * outside * sin(2 * pi * side / SIDES)
        points.append((middle[0] + along * ux - across * uy, middle[1] + along * uy + across * ux))
    return Outline(tuple(points), filled=True)


def closed(sides: Sequence[tuple[Point, Point]]) -> bool:
    """Whether straight sides, each beginning where the one before ends, come back to the start."""
    if len(sides) < 3:  # noqa: PLR2004 - fewer than three straight sides enclose nothing
        return False
    ends = [side[1] for side in sides]
    starts = [side[0] for side in sides]
    return all(
        hypot(end[0] - start[0], end[1] - start[1]) < 1e-6  # noqa: PLR2004 - a thousandth of a mm
        for end, start in zip(ends, [*starts[1:], starts[0]], strict=True)
    )


def grown(convex: Outline, reach_m: float) -> Outline:
    """All that lies within the reach of a point, a straight line or a convex area: a polygon
    around it, too large by less than 0.1 % of the reach."""
    wide = reach_m / cos(pi / SIDES)
    turns = [2 * pi * side / SIDES for side in range(SIDES)]
    points = [(x + wide * cos(a), y + wide * sin(a)) for x, y in convex.points for a in turns]
    return Outline(_hull(points), filled=True)


def _hull(points: Sequence[Point]) -> tuple[Point, ...]:
    """The convex outline of points, by Andrew's monotone chain (A. M. Andrew 1979)."""
    ordered = sorted(set(points))
    lower, upper = _half_hull(ordered), _half_hull(ordered[::-1])
    return (*lower[:-1], *upper[:-1])


def _half_hull(points: Sequence[Point]) -> list[Point]:
    half: list[Point] = []
    for x, y in points:
        while len(half) > 1:
            (ax, ay), (bx, by) = half[-2:]
            if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0:
                break
            half.pop()
        half.append((x, y))
    return half
