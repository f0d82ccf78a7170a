"""The side view of a fall: where somebody stands, where they would hang, and what is below.

The figures come whole from the sum: its parts, stacked below its own plane, end at the total; the
hanging body's lowest point is that total less the margin. The anchor is drawn plumb above it, the
lanyard as set is drawn straight (its slack is not).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from readiness.rules.sums.clearance import Below, Clearance, Place
from readiness.rules.sums.plan_view import Point
from readiness.rules.sums.side_view import Column, Note, Scene, Shape, box_around, stacked
from readiness.rules.sums.side_view_people import hanging, standing
from readiness.rules.sums.values import Plane, Sum

STANDS_X: Final = -0.55
HELD_X: Final = -1.0
HANGS_X: Final = 0.45
LEFT_X: Final = -2.4
RIGHT_X: Final = 1.5
SLAB_M: Final = 0.25
GRIP_M: Final = 0.12
BELOW_NAME_M: Final = -0.75
"""Highest place for the name of what lies below, so that the surface keeps its own."""
DRAWN_BELOW_M: Final = 1.0
"""What lies further below the end of the sum, and is not what is struck first, is only told."""


@dataclass(frozen=True, slots=True)
class Fall:
    """A fall whose clearance was worked out; `anchor` and `surface` are what people call them. Room that
    is enough is not `counted` where something else speaks against the fall."""

    answer: Clearance
    place: Place
    anchor: str = ""
    surface: str = ""
    counted: bool = True

    @property
    def needed(self) -> Sum:
        return self.answer.needed

    @property
    def attachment_m(self) -> float:
        """Above the feet of somebody who stands."""
        return self.place.attachment_m


def clearance_scene(fall: Fall) -> Scene:
    """The picture of a clearance, without any break: one scale from the anchor to the ground."""
    struck = fall.answer.first_struck
    feet = lowest_point(fall)
    shapes = (
        *_surface(fall),
        *_levels(fall),
        *_anchor(fall),
        *_lines(fall, feet),
        *standing("standing", (STANDS_X, 0.0), fall.attachment_m, fall.place.crouch_m),
        Shape("dimension", "line", ((HELD_X, 0.0), (HELD_X, fall.needed.heights.attachment_m))),
        *hanging("hanging", (HANGS_X, feet), fall.attachment_m),
    )
    ends = (_end(fall), min(-struck.depth_m, 0.0))
    left, right, bottom, top = box_around(shapes, 0.1, 0.35, 0.2)
    return Scene(
        kind="clearance",
        shapes=shapes,
        box=(left, right, min(bottom, *(end - 0.2 for end in ends)), max(top, 2.2)),
        notes=_notes(fall),
        columns=_columns(fall),
        facts=_facts(fall, struck, feet),
    )


def lowest_point(fall: Fall) -> float:
    """The height of the hanging body's lowest point: the sum without its margin."""
    return _end(fall) + _part(fall.needed, "margin")


def _end(fall: Fall) -> float:
    """The height at which the whole sum ends."""
    return -fall.needed.below(Plane.SURFACE)


def _start(needed: Sum) -> float:
    """The height of the plane from which the sum counts down."""
    return needed.metres - needed.below(Plane.SURFACE)


def _part(needed: Sum, code: str) -> float:
    return sum(part.metres for part in needed.parts if part.code == code)


def _surface(fall: Fall) -> tuple[Shape, ...]:
    slab = ((LEFT_X, 0.0), (0.0, 0.0), (0.0, -SLAB_M), (LEFT_X, -SLAB_M))
    return (Shape("surface", "area", slab, name=fall.surface),)


def _drawn(fall: Fall) -> list[Below]:
    """What is struck first, and what else lies near the end of the sum."""
    lowest = min(_end(fall), -fall.answer.first_struck.depth_m) - DRAWN_BELOW_M
    return [level for level in fall.place.below if -level.depth_m >= lowest]


def _levels(fall: Fall) -> tuple[Shape, ...]:
    struck = None if fall.answer.enough else fall.answer.first_struck
    return tuple(_level(level, "struck" if level is struck else "below") for level in _drawn(fall))


def _level(level: Below, role: str) -> Shape:
    top = -level.depth_m
    left = LEFT_X if level.depth_m > SLAB_M * 2 else 0.05
    block = ((left, top), (RIGHT_X, top), (RIGHT_X, top - SLAB_M), (left, top - SLAB_M))
    return Shape(role, "area", block, name=level.name)


def _anchor(fall: Fall) -> tuple[Shape, ...]:
    """An anchor above the feet hangs from structure; else it sits on an arm from the edge."""
    height = fall.needed.heights.anchor_m
    at = (HANGS_X, height)
    mark = Shape("anchor", "circle", (at,), 0.07, fall.anchor)
    if height <= GRIP_M * 2:
        return (Shape("structure", "line", ((0.0, height), at)), mark)
    low, high = height + GRIP_M, height + GRIP_M + SLAB_M
    beam = ((LEFT_X / 2, low), (RIGHT_X / 1.5, low), (RIGHT_X / 1.5, high), (LEFT_X / 2, high))
    stem = Shape("structure", "line", ((HANGS_X, low), at))
    return (Shape("structure", "area", beam), stem, mark)


def _lines(fall: Fall, feet: float) -> tuple[Shape, ...]:
    """The line as set, and the line after the fall with what the absorber gave drawn apart."""
    needed = fall.needed
    anchor: Point = (HANGS_X, needed.heights.anchor_m)
    held = feet + fall.attachment_m + _part(needed, "harness")
    torn = min(held + _part(needed, "extension"), anchor[1])
    lines = [
        Shape("line-at-rest", "line", (anchor, (STANDS_X, needed.heights.attachment_m))),
        Shape("line-deployed", "line", (anchor, (HANGS_X, torn))),
        Shape("harness", "line", ((HANGS_X, held), (HANGS_X, feet + fall.attachment_m))),
    ]
    if torn > held:
        lines.append(Shape("absorber", "line", ((HANGS_X, torn), (HANGS_X, held))))
    return tuple(lines)


def _columns(fall: Fall) -> tuple[Column, Column]:
    needed, answer = fall.needed, fall.answer
    parts = [(part.code, part.metres) for part in needed.parts]
    if answer.enough:
        clear = [("taken", answer.required_m), ("spare", answer.spare_m)]
    else:
        clear = [("clear-height", answer.available_m), ("short", -answer.spare_m)]
    surface = Plane.SURFACE.value
    return (
        Column("needed", tuple(stacked(_start(needed), parts)), needed.metres, needed.plane.value),
        Column("clear", tuple(stacked(0.0, clear)), answer.available_m, surface),
    )


def _notes(fall: Fall) -> tuple[Note, ...]:
    heights = fall.needed.heights
    held = {"metres": heights.attachment_m}
    return (
        Note("anchor", (HANGS_X + 0.07, heights.anchor_m), {"name": fall.anchor}),
        Note("surface", (LEFT_X, -SLAB_M), {"name": fall.surface}, side="below"),
        Note("attachment", (HELD_X, heights.attachment_m / 2), held, "end"),
        *(_level_note(level, fall) for level in _drawn(fall)),
    )


def _level_note(level: Below, fall: Fall) -> Note:
    at = (LEFT_X, min(-level.depth_m, BELOW_NAME_M))
    if level is not fall.answer.first_struck:
        return Note("below", at, {"name": level.name, "metres": level.depth_m}, side="above")
    code = "clears" if fall.answer.enough else "strikes"
    told = {
        "name": level.name,
        "required_m": fall.answer.required_m,
        "available_m": fall.answer.available_m,
        "counted": fall.counted,
    }
    return Note(code, at, told, side="above")


def _facts(fall: Fall, struck: Below, feet: float) -> dict[str, object]:
    return {
        "anchor": fall.anchor,
        "anchor_m": fall.needed.heights.anchor_m,
        "attachment_m": fall.needed.heights.attachment_m,
        "plane": fall.needed.plane.value,
        "parts": tuple((part.code, part.metres) for part in fall.needed.parts),
        "total_m": fall.needed.metres,
        "required_m": fall.answer.required_m,
        "lowest_m": -feet,
        "struck": struck.name,
        "available_m": fall.answer.available_m,
        "spare_m": fall.answer.spare_m,
        "counted": fall.counted,
        "levels": tuple((level.name, level.depth_m) for level in _deepening(fall.place.below)),
    }


def _deepening(levels: Sequence[Below]) -> list[Below]:
    return sorted(levels, key=lambda level: level.depth_m)
