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


def standing(role: str, feet: Point, attachment_m: float) -> tuple[Shape, ...]:
    """Upright, feet on `feet`; the whole body grows with the height of its attachment."""
    return _body(role, feet, attachment_m, _STANDING, lean=0.0)


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
) -> tuple[Shape, ...]:
    size = attachment_m / ATTACHMENT_M

    def placed(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((feet[0] + x * size, feet[1] + z * size) for x, z in points)

    x, z, radius = _HEAD
    return (
        *(Shape(role, "line", placed(limb)) for limb in limbs),
        Shape(role, "area", placed(_TORSO)),
        Shape(role, "circle", placed(((x + lean, z),)), radius * size),
    )
