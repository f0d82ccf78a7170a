"""The picture of a swing, seen square to it: the anchor, the arc's envelope, what stands in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin
from typing import Final

from readiness.rules.sums.plan_view import Point
from readiness.rules.sums.side_view import Kind, Note, Scene, Shape, box_around
from readiness.rules.sums.side_view_people import hanging, standing
from readiness.rules.sums.swing import Swing
from readiness.rules.sums.swing_path import Obstacle, Strike, Sweep

STEPS: Final = 24
SLAB_M: Final = 0.2


@dataclass(frozen=True, slots=True)
class Swung:
    """A swing that was worked out, with its path and all that stands near."""

    swing: Swing
    path: Sweep
    obstacles: tuple[Obstacle, ...] = ()
    strikes: tuple[Strike, ...] = ()
    ground_m: float | None = None
    attachment_m: float = 1.5
    anchor: str = ""


def swing_scene(swung: Swung) -> Scene:
    """Heights above the walking surface, the anchor at x = 0, the person on its right."""
    swing, path = swung.swing, swung.path
    start = (swing.offset_m, swung.attachment_m)
    low = path.anchor[1] - path.outer_m
    shapes = (
        Shape("swing-envelope", "area", _ring(path)),
        *(_obstacle(each, swung.strikes) for each in swung.obstacles),
        *_ground(swung, path),
        Shape("surface", "line", ((-path.outer_m, 0.0), (path.outer_m, 0.0))),
        Shape("line-at-rest", "line", (path.anchor, start)),
        Shape("swing-arc", "line", _arc(path.anchor, swing.line_m, swing.angle_deg)),
        Shape("line-deployed", "line", (path.anchor, (0.0, low + swung.attachment_m))),
        Shape("anchor", "circle", (path.anchor,), 0.08, swung.anchor),
        *standing("standing", (swing.offset_m, 0.0), swung.attachment_m),
        *hanging("hanging", (0.0, low), swung.attachment_m),
    )
    return Scene(
        kind="swing",
        shapes=shapes,
        box=box_around(shapes, 0.3, 0.4, 0.4),
        notes=_notes(swung),
        facts=_facts(swung),
    )


def _arc(anchor: Point, radius: float, angle_deg: float) -> tuple[Point, ...]:
    """From one side to the other, below the anchor."""
    turns = [radians(angle_deg) * (2 * step / STEPS - 1) for step in range(STEPS + 1)]
    return tuple((anchor[0] + radius * sin(a), anchor[1] - radius * cos(a)) for a in turns)


def _ring(path: Sweep) -> tuple[Point, ...]:
    outer = _arc(path.anchor, path.outer_m, path.angle_deg)
    return (*outer, *reversed(_arc(path.anchor, path.inner_m, path.angle_deg)))


def _obstacle(obstacle: Obstacle, strikes: Sequence[Strike]) -> Shape:
    struck = obstacle.name in {each.name for each in strikes}
    kind: Kind = "area" if len(obstacle.corners) > 2 else "line"  # noqa: PLR2004 - two ends are a line
    return Shape("struck" if struck else "obstacle", kind, obstacle.corners, name=obstacle.name)


def _ground(swung: Swung, path: Sweep) -> tuple[Shape, ...]:
    if swung.ground_m is None:
        return ()
    top, wide = -swung.ground_m, path.outer_m
    slab = ((-wide, top), (wide, top), (wide, top - SLAB_M), (-wide, top - SLAB_M))
    return (Shape("below", "area", slab),)


def _notes(swung: Swung) -> tuple[Note, ...]:
    swing, anchor = swung.swing, swung.path.anchor
    told = {"angle_deg": swing.angle_deg, "speed_m_s": swing.speed_m_s, "drop_m": swing.drop_m}
    named = {each.name: each for each in swung.strikes}
    notes = [
        Note("anchor", (anchor[0] - 0.08, anchor[1]), {"name": swung.anchor}, "end"),
        Note("swing", (anchor[0] + 0.08, anchor[1]), told),
    ]
    for obstacle in swung.obstacles:
        x = sum(corner[0] for corner in obstacle.corners) / len(obstacle.corners)
        top = max(corner[1] for corner in obstacle.corners)
        struck = named.get(obstacle.name)
        speed = {} if struck is None else {"speed_m_s": struck.speed_m_s}
        code = "obstacle" if struck is None else f"{struck.what}-struck"
        notes.append(Note(code, (x, top), {"name": obstacle.name, **speed}, "middle", "above"))
    return tuple(notes)


def _facts(swung: Swung) -> dict[str, object]:
    swing = swung.swing
    return {
        "anchor": swung.anchor,
        "offset_m": swing.offset_m,
        "line_m": swing.line_m,
        "angle_deg": swing.angle_deg,
        "drop_m": swing.drop_m,
        "speed_m_s": swing.speed_m_s,
        "word": swing.word,
        "strikes": tuple((each.name, each.speed_m_s, each.what) for each in swung.strikes),
        "passes": tuple(
            each.name
            for each in swung.obstacles
            if each.name not in {one.name for one in swung.strikes}
        ),
    }
