"""Restraint, proven or not: whether somebody on this lanyard can get to an edge at all.

Seen from above, with the same rule as the cover of a task (`readiness.rules.needs`): reach, what
the line gives and the allowance must not be more than the way to the edge. The reach is the
lanyard at the longest it can be set, flat on the surface, plus what the body reaches past its
attachment. A high anchor shortens that for somebody who stands, not for somebody who lies
down, so that no height is taken off; nor is anything for walls in the way. Where
an edge can be passed the system is arrest, whatever it is called.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from readiness.rules.needs import exceeds
from readiness.rules.situation import Policy
from readiness.rules.sums.plan_view import Nearest, Outline, Point, bowed, closed, grown, nearest
from readiness.rules.sums.ranges import length
from readiness.rules.sums.values import Refused, within

FARTHEST_M: Final = 10_000.0


@dataclass(frozen=True, slots=True)
class Anchorage:
    """What the lanyard is tied to: one point (an anchor), or a rail or line through several.

    `deflection_m` is how far a flexible line gives sideways at the middle of its longest span,
    its stretch and its slack included; 0 for an anchor and for a rail.
    """

    name: str
    points: tuple[Point, ...]
    deflection_m: float = 0


@dataclass(frozen=True, slots=True)
class Side:
    """A straight part of the rim. `guarded` by a rail or a wall, it is no edge; it helps to tell
    whether the rim is closed."""

    name: str
    start: Point
    end: Point
    guarded: bool = False


@dataclass(frozen=True, slots=True)
class Area:
    """A fragile roof light, an opening: nobody may get onto it from any side."""

    name: str
    corners: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """Sides in order around the place of work, and areas on it. Metres, any origin."""

    sides: tuple[Side, ...]
    areas: tuple[Area, ...] = ()


@dataclass(frozen=True, slots=True)
class Hold:
    """One edge or area: the way to it from the unloaded line, and what comes that way.

    `spare_m` below 0 is how far past it somebody can get. `at` is the nearest place on it.
    """

    name: str
    distance_m: float
    deflection_m: float
    total_m: float
    spare_m: float
    at: Point

    @property
    def can_be_passed(self) -> bool:
        return exceeds(self.total_m, self.distance_m)


@dataclass(frozen=True, slots=True)
class Restrained:
    """The answer: each edge, the tightest first.

    `rim_closed` says whether the sides come back to where they began; where they do not, only
    the edges named were looked at. `longest_m` is the longest lanyard that would still be proven
    restraint here, None where not even the shortest would.
    """

    reach_m: float
    allowance_m: float
    holds: tuple[Hold, ...]
    rim_closed: bool
    longest_m: float | None

    @property
    def proven(self) -> bool:
        return not self.passed

    @property
    def passed(self) -> tuple[Hold, ...]:
        return tuple(hold for hold in self.holds if hold.can_be_passed)

    @property
    def system(self) -> str:
        """What it counts as, in the word of the task's cover."""
        return "restraint" if self.proven else "arrest"


def restrained(
    layout: Layout,
    anchorage: Anchorage,
    lanyard_m: float,
    body_m: float = 0,
    policy: Policy | None = None,
) -> Restrained:
    """Whether `lanyard_m`, the longest it can be set, holds somebody back from every edge.

    `body_m` is what arms and a leaning body reach past the attachment, where the employer does
    not leave that to the allowance. Metres. Refuses a layout without edges or areas.
    """
    length("lanyard_m", lanyard_m, 0, 100)
    length("body_m", body_m, 0, 5)
    allowance = (policy or Policy()).restraint_allowance_m
    reach = lanyard_m + body_m
    places = _hazards(layout)
    unloaded, loaded = _unloaded(anchorage), _loaded(anchorage)
    holds = sorted(
        (_hold(name, shape, unloaded, loaded, reach + allowance) for name, shape in places),
        key=lambda hold: (hold.spare_m, hold.name),
    )
    longest = lanyard_m + holds[0].spare_m
    return Restrained(
        reach_m=reach,
        allowance_m=allowance,
        holds=tuple(holds),
        rim_closed=closed([(side.start, side.end) for side in layout.sides]),
        longest_m=longest if longest > 0 else None,
    )


def _hold(
    name: str,
    place: Outline,
    unloaded: Outline,
    loaded: tuple[Outline, ...],
    without_line_m: float,
) -> Hold:
    """The line's give counts as what it takes off the way to this very edge."""
    straight = nearest(unloaded, place).distance_m
    bent: Nearest = min((nearest(span, place) for span in loaded), key=lambda way: way.distance_m)
    gives = max(0.0, straight - bent.distance_m)
    total = without_line_m + gives
    return Hold(name, straight, gives, total, straight - total, bent.end)


def _hazards(layout: Layout) -> list[tuple[str, Outline]]:
    for side in layout.sides:
        _placed(f"side {side.name}", (side.start, side.end))
    edges = [
        (side.name, Outline((side.start, side.end))) for side in layout.sides if not side.guarded
    ]
    areas = [(area.name, Outline(_area(area), filled=True)) for area in layout.areas]
    if not edges + areas:
        raise Refused("layout", "no-edge")
    return edges + areas


def _area(area: Area) -> tuple[Point, ...]:
    if len(area.corners) < 3:  # noqa: PLR2004 - two corners enclose nothing
        raise Refused(f"area {area.name}", "too-few-corners", low=3)
    return _placed(f"area {area.name}", area.corners)


def _placed(field: str, points: tuple[Point, ...]) -> tuple[Point, ...]:
    for point in points:
        for place in point:
            within(field, place, -FARTHEST_M, FARTHEST_M)
    return points


def _unloaded(anchorage: Anchorage) -> Outline:
    if not anchorage.points:
        raise Refused("anchorage", "missing")
    return Outline(_placed(f"anchorage {anchorage.name}", anchorage.points))


def reached(anchorage: Anchorage, reach_m: float) -> tuple[Outline, ...]:
    """Where somebody can get to with this reach, a convex area for each span."""
    spans = _loaded(anchorage)
    if len(spans) == 1 and len(anchorage.points) > 1 and not spans[0].filled:
        spans = tuple(Outline(ends) for ends in pairwise(anchorage.points))
    return tuple(grown(span, length("reach_m", reach_m, 0, 200)) for span in spans)


def _loaded(anchorage: Anchorage) -> tuple[Outline, ...]:
    """The line where it is pulled hardest: each span as if it had all the give for itself."""
    give = length("deflection_m", anchorage.deflection_m, 0, 50)
    if give == 0:
        return (Outline(anchorage.points),)
    ends = anchorage.points if len(anchorage.points) > 1 else anchorage.points * 2
    return tuple(bowed(start, end, give) for start, end in pairwise(ends))
