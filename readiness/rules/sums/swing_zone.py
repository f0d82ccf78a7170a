"""Where below an anchor, or below a row of them, somebody may stand without swinging too far."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from readiness.rules.sums.ranges import length
from readiness.rules.sums.swing import SwingPolicy, safe_radius


@dataclass(frozen=True, slots=True)
class Level:
    """A height of the harness attachment below the anchor, and the radius that is allowed there."""

    vertical_m: float
    radius_m: float


@dataclass(frozen=True, slots=True)
class Stretch:
    """Part of a line of work, by metres along it."""

    from_m: float
    to_m: float


def safe_zone(
    verticals_m: Sequence[float], spare_m: float, policy: SwingPolicy | None = None
) -> tuple[Level, ...]:
    """The zone below one anchor, level by level: a cone, cut back where the clearance is short.

    `spare_m` is what the clearance leaves at the highest of the levels, without any swing; the
    anchor and the ground stay where they are, so that a lower level has less of it.
    """
    top = min(verticals_m, default=0.0)
    return tuple(
        Level(deep, safe_radius(deep, spare_m - (deep - top), policy))
        for deep in sorted(verticals_m)
    )


def zone_along(
    anchors_m: Sequence[float], radius_m: float, aside_m: float = 0
) -> tuple[Stretch, ...]:
    """The stretches of a line of work that lie within the radius of at least one anchor.

    `anchors_m` are places along a straight row of anchors; the work runs `aside_m` beside it.
    """
    length("radius_m", radius_m)
    length("aside_m", aside_m)
    if aside_m > radius_m:
        return ()
    half = sqrt(radius_m * radius_m - aside_m * aside_m)
    joined: list[Stretch] = []
    for place in sorted(anchors_m):
        here = Stretch(place - half, place + half)
        if joined and here.from_m <= joined[-1].to_m:
            joined[-1] = Stretch(joined[-1].from_m, here.to_m)
        else:
            joined.append(here)
    return tuple(joined)


def gaps_along(work: Stretch, zone: Sequence[Stretch]) -> tuple[Stretch, ...]:
    """What of the work lies outside the zone, from one end to the other."""
    gaps, reached = [], work.from_m
    for part in sorted(zone, key=lambda each: each.from_m):
        if part.from_m > reached:
            gaps.append(Stretch(reached, min(part.from_m, work.to_m)))
        reached = max(reached, part.to_m)
        if reached >= work.to_m:
            break
    if reached < work.to_m:
        gaps.append(Stretch(reached, work.to_m))
    return tuple(gap for gap in gaps if gap.to_m > gap.from_m)
