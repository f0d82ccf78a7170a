"""People in a side view: outlines of a standing and of a hanging body, to scale."""

from __future__ import annotations

from typing import Final

from readiness.rules.sums.plan_view import Point
from readiness.rules.sums.side_view import Shape

ATTACHMENT_M: Final = 1.5
"""Height of the harness attachment of the body as it is outlined here."""
TOP_M: Final = 1.8
"""Its whole height, helmet on."""

_HEAD: Final = (0.0, 1.68, 0.12)
_TORSO: Final = ((-0.19, 1.48), (0.19, 1.48), (0.15, 0.9), (-0.15, 0.9))
_STANDING: Final = (
    ((-0.08, 0.9), (-0.11, 0.0), (-0.01, 0.0)),
    ((0.08, 0.9), (0.11, 0.0), (0.21, 0.0)),
    ((-0.17, 1.45), (-0.25, 0.85)),
    ((0.17, 1.45), (0.25, 0.85)),
)
_HANGING: Final = (
    ((-0.08, 0.9), (0.02, 0.45), (-0.08, 0.0)),
    ((0.08, 0.9), (0.18, 0.45), (0.08, 0.02)),
    ((-0.17, 1.45), (-0.22, 1.0), (-0.16, 0.72)),
    ((0.17, 1.45), (0.26, 1.0), (0.24, 0.72)),
)


LOWEST_M: Final = 0.8
"""Of the crouching that is drawn: hips near the heels."""


def standing(role: str, feet: Point, attachment_m: float, crouch_m: float = 0) -> tuple[Shape, ...]:
    """Upright on `feet`, or with bent knees by so much lower. The body grows with the height of
    its attachment when it stands."""
    down = min(crouch_m / (attachment_m / ATTACHMENT_M), LOWEST_M)
    if down == 0:
        return _body(role, feet, attachment_m, _STANDING, lean=0.0)
    hip = 0.9 - down
    legs = tuple(
        ((side * 0.08, hip), (side * (0.08 + down / 2), hip / 2 + 0.1), (side * 0.1, 0.0))
        for side in (-1, 1)
    )
    upper = tuple(_lowered(limb, down) for limb in _STANDING[2:])
    return _body(role, feet, attachment_m, (*legs, *upper), lean=0.0, down=down)


def _lowered(points: tuple[Point, ...], down: float) -> tuple[Point, ...]:
    return tuple((x, z - down) for x, z in points)


def hanging(role: str, feet: Point, attachment_m: float) -> tuple[Shape, ...]:
    """Hanging still: `feet` is the lowest point, the attachment stands plumb above it."""
    return _body(role, feet, attachment_m, _HANGING, lean=0.07)


def _body(
    role: str,
    feet: Point,
    attachment_m: float,
    limbs: tuple[tuple[Point, ...], ...],
    *,
    lean: float,
    down: float = 0.0,
) -> tuple[Shape, ...]:
    size = attachment_m / ATTACHMENT_M

    def placed(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((feet[0] + x * size, feet[1] + z * size) for x, z in points)

    x, z, radius = _HEAD
    return (
        *(Shape(role, "line", placed(limb)) for limb in limbs),
        Shape(role, "area", placed(_lowered(_TORSO, down))),
        Shape(role, "circle", placed(((x + lean, z - down),)), radius * size),
    )
