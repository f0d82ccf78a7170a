"""What a swinging body passes through, in the upright plane of the swing, and what it strikes.

`x` runs along the ground with the anchor at 0, `z` up, in metres, for the anchor's own height and
whatever stands there. The body sweeps a part of a ring around the anchor, as far to
the other side as it began on this one: nothing is taken off for friction.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import asin, atan2, cos, degrees, hypot, radians, sin, sqrt
from typing import Final

from readiness.rules.sums.plan_view import Outline, Point, nearest
from readiness.rules.sums.ranges import length
from readiness.rules.sums.swing import Swing
from readiness.rules.sums.units import G
from readiness.rules.sums.values import Refused

BODY_BELOW_M: Final = 1.5
"""From the harness attachment to the feet (common practice, no source)."""
BODY_ABOVE_M: Final = 0.5
"""From the attachment to the top of a helmet (common practice, no source)."""
BODY_ASIDE_M: Final = 0.3
"""Half a body's width, limbs close (common practice, no source)."""
ANCHORED_M: Final = 0.3
"""What lies no further from the anchor holds the anchor: the line does not bend over it (common
practice, no source)."""
_NOISE: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Body:
    """What of somebody lies beyond the attachment: towards the anchor, away from it, to a side."""

    above_m: float = BODY_ABOVE_M
    below_m: float = BODY_BELOW_M
    aside_m: float = BODY_ASIDE_M


@dataclass(frozen=True, slots=True)
class Obstacle:
    """A straight piece (two ends) or a convex shape, such as the rectangle of a beam."""

    name: str
    corners: tuple[Point, ...]


def block(name: str, left: float, right: float, bottom: float, top: float) -> Obstacle:
    """A rectangle, by its sides."""
    return Obstacle(name, ((left, bottom), (right, bottom), (right, top), (left, top)))


@dataclass(frozen=True, slots=True)
class Sweep:
    """The part of a ring that a body passes through: around `anchor`, from radius to radius, and
    `angle_deg` to either side of the plumb line."""

    anchor: Point
    inner_m: float
    outer_m: float
    angle_deg: float


@dataclass(frozen=True, slots=True)
class Strike:
    """Something in the way, where it is met lowest, and how fast: degrees from plumb, m/s.

    `what` is `body`, or `line` where only the line meets it: the swing then turns about that
    place, and none of its figures holds any more.
    """

    name: str
    angle_deg: float
    speed_m_s: float
    what: str = "body"


def sweep(
    found: Swing, anchor_height_m: float, stretch_m: float = 0, body: Body | None = None
) -> Sweep:
    """Where the body of this swing passes. `stretch_m` is what line, absorber and harness may
    grow by on the way; the ring reaches from the unstretched line to the stretched one."""
    whole = body or Body()
    length("stretch_m", stretch_m, 0, 50)
    inner = max(0.0, found.line_m - whole.above_m)
    wider = 90.0 if inner <= whole.aside_m else degrees(asin(whole.aside_m / inner))
    return Sweep(
        anchor=(0.0, anchor_height_m),
        inner_m=inner,
        outer_m=found.line_m + stretch_m + whole.below_m,
        angle_deg=min(90.0, found.angle_deg + wider),
    )


def strikes(found: Swing, path: Sweep, obstacles: Sequence[Obstacle]) -> tuple[Strike, ...]:
    """All that stands in the path, what is struck fastest first."""
    met = (_strike(found, path, obstacle) for obstacle in obstacles)
    return tuple(
        sorted((one for one in met if one is not None), key=lambda one: (-one.speed_m_s, one.name))
    )


def _strike(found: Swing, path: Sweep, obstacle: Obstacle) -> Strike | None:
    """The part of the obstacle within the wedge is convex, so that its ways from the anchor fill
    one range: it lies in the ring just where that range and the ring's meet."""
    part = _within_wedge(_from_anchor(obstacle, path.anchor), radians(path.angle_deg))
    if not part:
        return None
    near = nearest(Outline(((0.0, 0.0),)), Outline(part, filled=len(part) > 2)).distance_m  # noqa: PLR2004
    far = max(hypot(x, z) for x, z in part)
    angle = min(found.angle_deg, degrees(_least_angle(part)))
    if near > path.outer_m + _NOISE:
        return None
    if far < path.inner_m - _NOISE:
        return Strike(obstacle.name, angle, 0.0, "line") if far > ANCHORED_M else None
    drop = found.line_m * (cos(radians(angle)) - cos(radians(found.angle_deg)))
    return Strike(obstacle.name, angle, sqrt(2 * G * max(0.0, drop)))


def _from_anchor(obstacle: Obstacle, anchor: Point) -> tuple[Point, ...]:
    corners = tuple((x - anchor[0], z - anchor[1]) for x, z in obstacle.corners)
    if len(corners) < 2:  # noqa: PLR2004 - one corner has no extent
        raise Refused(f"obstacle {obstacle.name}", "too-few-corners", low=2)
    around = [*corners, *corners[:2]]
    turns = [
        (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
        for a, b, c in zip(around, around[1:], around[2:], strict=False)
    ]
    if min(turns) < -_NOISE and max(turns) > _NOISE:
        raise Refused(f"obstacle {obstacle.name}", "not-convex")
    return corners


def _within_wedge(corners: tuple[Point, ...], angle: float) -> tuple[Point, ...]:
    """What of a convex shape lies within the angle on both sides of straight down."""
    part = _cut(corners, (0.0, -1.0))
    part = _cut(part, (-cos(angle), -sin(angle)))
    return _cut(part, (cos(angle), -sin(angle)))


def _cut(corners: tuple[Point, ...], inward: Point) -> tuple[Point, ...]:
    """The part of a convex shape on the side of a line through the anchor that `inward` shows."""
    kept: list[Point] = []
    if not corners:
        return ()
    for one, other in pairwise((*corners, corners[0])):
        here = one[0] * inward[0] + one[1] * inward[1]
        there = other[0] * inward[0] + other[1] * inward[1]
        if here >= -_NOISE:
            kept.append(one)
        if (here > _NOISE and there < -_NOISE) or (here < -_NOISE and there > _NOISE):
            share = here / (here - there)
            kept.append(
                (one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1]))
            )
    return tuple(kept)


def _least_angle(part: tuple[Point, ...]) -> float:
    """The smallest angle from plumb of any of its points."""
    sides = [x for x, _ in part]
    if min(sides) <= 0 <= max(sides):
        return 0.0
    return min(abs(atan2(x, -z)) for x, z in part)
