"""The swing of a fall with all that it passes through, and the zone in which it goes no farther."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, sin
from typing import Final, Literal

from readiness.rules.needs import exceeds
from readiness.rules.sums.clearance import Clearance
from readiness.rules.sums.fall_figures import FallCase
from readiness.rules.sums.fall_row import Row, outside
from readiness.rules.sums.swing import Swing
from readiness.rules.sums.swing_path import Body, Strike, Sweep, strikes, sweep
from readiness.rules.sums.swing_zone import Level, Stretch, safe_zone

STEP_M: Final = 0.05
"""How finely the places are tried at which a swing would strike something."""
LEVELS_M: Final = (0.0, 1.0, 2.0, 3.0)
"""Levels below the walking surface that are told of a line that pays out."""
MOST_M: Final = 50.0

Limit = Literal["angle", "room", "strike"]


@dataclass(frozen=True, slots=True)
class Swung:
    """The swing with what its body passes through and what it meets."""

    swing: Swing
    path: Sweep
    strikes: tuple[Strike, ...]


@dataclass(frozen=True, slots=True)
class Zone:
    """Within `radius_m` of plumb below the anchor nobody swings past the employer's angle, lower than
    there is room, or into what is told; `limit` says which of these ends it, `struck` into what.

    `levels`: the radius at so many metres lower down, for a line that pays out. `aside_m` is the work
    as it was put in. `gaps`: what of the work along the row lies outside.
    """

    radius_m: float
    limit: Limit
    most_deg: float
    aside_m: float
    struck: str = ""
    levels: tuple[Level, ...] = ()
    row: Row | None = None
    gaps: tuple[Stretch, ...] = ()

    @property
    def holds_work(self) -> bool:
        return not exceeds(self.aside_m, self.radius_m)


def swung_of(case: FallCase, room: Clearance) -> Swung | None:
    """None straight below the anchor."""
    return None if case.swing is None else swung_at(case, room, case.swing)


def swung_at(case: FallCase, room: Clearance, found: Swing) -> Swung:
    """The ring reaches down to where the sum ends without its margin, from upright or crouched."""
    grows = {"extension", "arrest", "harness", "lifeline-sag", "anchor-stretch", "line-stretch"}
    stretch = sum(part.metres for part in room.needed.parts if part.code in grows)
    if not case.on_lanyard:  # whose line is as long for somebody who crouches
        stretch += case.place.crouch_m
    body = Body(below_m=case.place.attachment_m)
    sling = 0.0 if case.on_lanyard else case.place.sling_m  # a lanyard's length holds it
    path = sweep(found, case.place.heights.anchor_m - sling, stretch, body)
    return Swung(found, path, strikes(found, path, case.obstacles))


def zone_of(case: FallCase, room: Clearance) -> Zone:
    """By the angle and the room, then no farther than where a swing first strikes something."""
    levels = () if case.on_lanyard else _levels(case, room)
    radius, limit = _by_room(case, room, levels)
    struck = _first_struck(case, room, radius)
    if struck is not None:
        radius, limit = struck[0], "strike"
    return Zone(
        radius_m=radius,
        limit=limit,
        most_deg=case.limits.most_deg,
        aside_m=case.swing.offset_m if case.swing else 0.0,
        struck=struck[1] if struck else "",
        levels=tuple(level for level in levels if level.radius_m),
        row=case.row,
        gaps=outside(case.row, radius) if case.row else (),
    )


def _by_room(case: FallCase, room: Clearance, levels: tuple[Level, ...]) -> tuple[float, Limit]:
    if case.on_lanyard:
        by_angle = case.reach_m * sin(radians(case.limits.most_deg))
        return (by_angle, "angle") if room.enough else (0.0, "room")
    by_angle = _widest(case, levels[0].vertical_m)
    radius = levels[0].radius_m
    return radius, "room" if exceeds(by_angle, radius) else "angle"


def _widest(case: FallCase, vertical_m: float) -> float:
    (level,) = safe_zone([vertical_m], MOST_M, case.limits)
    return level.radius_m


def _levels(case: FallCase, room: Clearance) -> tuple[Level, ...]:
    """What the clearance leaves without any swing; a chart that holds a swing already gives none back."""
    swung = sum(part.metres for part in room.needed.parts if part.code == "swing")
    top = case.swing_at(0.0).line_m
    return safe_zone([top + deeper for deeper in LEVELS_M], room.spare_m + swung, case.limits)


def _first_struck(case: FallCase, room: Clearance, radius_m: float) -> tuple[float, str] | None:
    """The last place before the first at which something is struck; only in the plane of the swing."""
    if not case.obstacles:
        return None
    for step in range(1, int(radius_m / STEP_M) + 1):
        met = swung_at(case, room, case.swing_at(step * STEP_M)).strikes
        if met:
            return (step - 1) * STEP_M, met[0].name
    return None
