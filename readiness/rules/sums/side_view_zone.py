"""The zone below an anchor, or along a row of them, seen from above and to scale."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin
from typing import Final

from readiness.rules.sums.fall_row import Row
from readiness.rules.sums.fall_swing import Zone
from readiness.rules.sums.plan_view import Point
from readiness.rules.sums.side_view import Note, Scene, Shape, box_around
from readiness.rules.sums.swing_zone import Stretch

CORNERS: Final = 48
"""Of the polygon drawn within the circle: it never shows more than there is."""
WORKER_M: Final = 0.2


def zone_scene(zone: Zone, anchor: str = "") -> Scene | None:
    """None where there is no zone to draw. Along a row the work runs below it in the picture."""
    if not zone.radius_m:
        return None
    row = zone.row
    shapes = _single(zone, anchor) if row is None else _along(zone, row, anchor)
    return Scene(
        kind="zone",
        shapes=shapes,
        box=_box(zone, shapes),
        notes=tuple(_notes(zone, anchor)),
        facts={"zone": zone, "anchor": anchor},
    )


def _box(zone: Zone, shapes: Sequence[Shape]) -> tuple[float, float, float, float]:
    """A single zone keeps room to its sides, so that a small one is not blown up to a whole page."""
    aside = 0.4 if zone.row else 1.2 * (zone.radius_m + 1)
    return box_around(shapes, aside, 0.6, 0.6)


def _single(zone: Zone, anchor: str) -> tuple[Shape, ...]:
    middle = (0.0, 0.0)
    shapes = (_disc(middle, zone.radius_m), Shape("anchor", "circle", (middle,), 0.08, anchor))
    if not zone.aside_m:
        return shapes
    return (*shapes, Shape("worker", "circle", ((zone.aside_m, 0.0),), WORKER_M))


def _along(zone: Zone, row: Row, anchor: str) -> tuple[Shape, ...]:
    anchors = [(place, 0.0) for place in row.at_m]
    ends: Sequence[Point] = (anchors[0], anchors[-1])
    areas = (
        [_stadium(ends, zone.radius_m)]
        if row.runs
        else [_disc(place, zone.radius_m) for place in anchors]
    )
    line = (Shape("line-deployed", "line", tuple(ends)),) if row.runs else ()
    marks = tuple(Shape("anchor", "circle", (place,), 0.08, anchor) for place in anchors)
    gaps = tuple(Shape("outside", "line", _drawn(gap, row)) for gap in zone.gaps)
    return (*areas, *line, *marks, Shape("work", "line", _drawn(row.work, row)), *gaps)


def _drawn(stretch: Stretch, row: Row) -> tuple[Point, Point]:
    return (stretch.from_m, -row.aside_m), (stretch.to_m, -row.aside_m)


def _disc(middle: Point, radius: float) -> Shape:
    turns = [2 * pi * step / CORNERS for step in range(CORNERS)]
    points = ((middle[0] + radius * cos(a), middle[1] + radius * sin(a)) for a in turns)
    return Shape("zone", "area", tuple(points))


def _stadium(ends: Sequence[Point], radius: float) -> Shape:
    half = [pi * step / (CORNERS // 2) for step in range(CORNERS // 2 + 1)]
    first, last = ends[0][0], ends[-1][0]
    right = [(last + radius * sin(a), radius * cos(a)) for a in half]
    left = [(first - radius * sin(a), -radius * cos(a)) for a in half]
    return Shape("zone", "area", (*right, *left))


def _notes(zone: Zone, anchor: str) -> list[Note]:
    row = zone.row
    first = 0.0 if row is None else row.at_m[0]
    notes = [
        Note("anchor", (first - 0.08, 0.0), {"name": anchor}, "end"),
        Note("zone", (first, zone.radius_m), {"metres": zone.radius_m}, "middle", "above"),
    ]
    if row is not None:
        middle = (row.work.from_m + row.work.to_m) / 2
        notes.append(Note("work", (middle, -row.aside_m), {}, "middle", "below"))
        for gap in zone.gaps:
            at = ((gap.from_m + gap.to_m) / 2, -row.aside_m)
            notes.append(Note("outside", at, {}, "middle", "above"))
    elif zone.aside_m:
        code = "worker" if zone.holds_work else "worker-outside"
        notes.append(Note(code, (zone.aside_m, -WORKER_M), {}, "middle", "below"))
    return notes
