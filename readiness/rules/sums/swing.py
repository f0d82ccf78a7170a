"""A fall to one side of the anchor: how far it swings and how fast.

A point mass on a taut line that does not stretch, let go from rest; nothing is taken off for
friction, nothing for an absorber. The drop of the swing comes on top of the arrest distance.
Formulas: the plain pendulum, checked against the rows `swing_*` of the check values.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, atan2, cos, degrees, hypot, radians, sqrt
from typing import Final

from readiness.rules.needs import exceeds
from readiness.rules.situation import Policy
from readiness.rules.sums.ranges import length
from readiness.rules.sums.units import G
from readiness.rules.sums.values import within

MOST_DEG: Final = 90


@dataclass(frozen=True, slots=True)
class SwingPolicy:
    """Angles between the line and the plumb line below the anchor, in degrees.

    The employer's own; none is law. 30 is told in trade texts for a line overhead (and 15 for
    rope work); 20 for a closer look is a proposal, no source.
    """

    look_deg: float = 20
    most_deg: float = 30


@dataclass(frozen=True, slots=True)
class Swing:
    """What the pendulum does: `strain` is the pull in the line, in weights, at the lowest point.

    `word` is `plumb` (no swing), `small`, `look` (past the first angle) or `too-far`.
    """

    line_m: float
    offset_m: float
    angle_deg: float
    drop_m: float
    speed_m_s: float
    strain: float
    word: str


def swing_policy(policy: Policy | None) -> SwingPolicy:
    """The angles of the employer's limits; the proposals where nobody set any."""
    asked = policy or Policy()
    return SwingPolicy(asked.swing_look_deg, asked.swing_most_deg)


def swing(vertical_m: float, offset_m: float, policy: SwingPolicy | None = None) -> Swing:
    """The swing of somebody whose harness attachment is `vertical_m` below the anchor (0 where it
    is level with it or above: then the line lies flat and they swing through a right angle)
    and `offset_m` to one side. Metres; refuses anything below 0.
    """
    length("vertical_m", vertical_m)
    length("offset_m", offset_m)
    line = hypot(vertical_m, offset_m)
    angle = degrees(atan2(offset_m, vertical_m))
    return Swing(
        line_m=line,
        offset_m=offset_m,
        angle_deg=angle,
        drop_m=line - vertical_m,
        speed_m_s=bottom_speed(line, angle),
        strain=strain(angle),
        word=_word(angle, policy or SwingPolicy()),
    )


def _word(angle_deg: float, policy: SwingPolicy) -> str:
    if angle_deg == 0:
        return "plumb"
    if exceeds(angle_deg, policy.most_deg):
        return "too-far"
    return "look" if exceeds(angle_deg, policy.look_deg) else "small"


def fixed_line_drop(line_m: float, offset_m: float) -> float:
    """L - sqrt(L2 - x2): a taut line whose end starts x to one side. Any one unit of length.
    Refuses an offset longer than the line."""
    length("line_m", line_m)
    length("offset_m", offset_m, 0, line_m)
    return line_m - sqrt(line_m * line_m - offset_m * offset_m)


def overhead_drop(vertical_m: float, offset_m: float) -> float:
    """sqrt(H2 + x2) - H: a line that pays out to an anchor H above the attachment. Any one unit.
    Does not hold where a retractable may not lock, as on a slope."""
    length("vertical_m", vertical_m)
    length("offset_m", offset_m)
    return hypot(vertical_m, offset_m) - vertical_m


def roof_edge_drop(setback_m: float, offset_m: float) -> float:
    """sqrt(d2 + x2) - d: over the edge of a roof, x along it from the point nearest the anchor,
    which stands d back, square to the edge. Any one unit. The line slides along the edge: the sum
    says nothing of whether the edge cuts it."""
    return overhead_drop(length("setback_m", setback_m), length("offset_m", offset_m))


def roof_edge_drop_by_line(setback_m: float, line_m: float) -> float:
    """R - d: the same by the length of line from the anchor. Refuses a line shorter than d."""
    length("setback_m", setback_m)
    return length("line_m", line_m, setback_m) - setback_m


def bottom_speed(line_m: float, angle_deg: float, gravity: float = G) -> float:
    """sqrt(2 g L (1 - cos a)), in m/s."""
    length("line_m", line_m)
    within("angle_deg", angle_deg, 0, MOST_DEG)
    return sqrt(2 * gravity * line_m * (1 - cos(radians(angle_deg))))


def strain(angle_deg: float) -> float:
    """3 - 2 cos a: the pull at the lowest point over the weight, of the pendulum alone."""
    within("angle_deg", angle_deg, 0, MOST_DEG)
    return 3 - 2 * cos(radians(angle_deg))


def safe_radius(vertical_m: float, spare_m: float, policy: SwingPolicy | None = None) -> float:
    """How far from the plumb line somebody may stand, in metres, with the attachment `vertical_m`
    below the anchor: within the policy's larger angle, and with a swing that drops no further than
    `spare_m`, what the clearance leaves. 0 where there is nothing to spare."""
    length("vertical_m", vertical_m)
    limit = cos(radians(within("most_deg", (policy or SwingPolicy()).most_deg, 0, 89)))
    by_angle = vertical_m * sqrt(1 - limit * limit) / limit
    spare = max(0.0, spare_m)
    return min(by_angle, sqrt(spare * (spare + 2 * vertical_m)))


def angle_that_spends(vertical_m: float, spare_m: float) -> float:
    """The angle, in degrees, whose swing drops just `spare_m` metres."""
    length("spare_m", spare_m)
    if length("vertical_m", vertical_m) + spare_m == 0:
        return 0.0
    return degrees(acos(vertical_m / (vertical_m + spare_m)))
