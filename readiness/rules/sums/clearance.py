"""How much room a fall needs below, how much there is, and what is left over or missing.

Whatever catches the fall (lanyard, retractable, guided arrester) says its own lengths; what belongs
to the place (sling, sag, swing, crouching, margin) is added here, the same for all. A product's own
chart goes before the formula. An answer is an indication: enough by so much on these figures, or not.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Protocol

from readiness.rules.sums.chart import Chart, chart_part
from readiness.rules.sums.figures import ATTACHMENT_M, HARNESS_M, LEAST_MARGIN_M, MARGIN_M
from readiness.rules.sums.lifeline import Lifeline
from readiness.rules.sums.units import available, required
from readiness.rules.sums.values import (
    COMPUTED,
    GIVEN,
    Figure,
    Flag,
    Heights,
    Part,
    Plane,
    Refused,
    Sum,
    within,
)

ANCHORS_M = (-5.0, 30.0)
ATTACHMENTS_M = (0.5, 2.2)


@dataclass(frozen=True, slots=True)
class Below:
    """Something a falling person would strike, by the depth (m) of its top below the walking surface."""

    name: str
    depth_m: float


@dataclass(frozen=True, slots=True)
class Place:
    """Where somebody works. Metres; `anchor_m` above the walking surface, negative below the feet.

    `sling_m` hangs between anchor and system; `anchor_gives` are lengths by which the anchor comes
    down under load (stretch, the sag of a lifeline); `crouch_m` is how much lower than standing the
    attachment is; `swing_m` the drop of a swing; `setback_m` from the anchor to an edge. Where a
    `lifeline` is the anchor, `anchor_m` is the height of its ends and `line_users` fall at once.
    """

    anchor_m: float | None
    below: tuple[Below, ...] = ()
    attachment_m: float = ATTACHMENT_M.value
    sling_m: float = 0.0
    anchor_gives: tuple[Part, ...] = ()
    crouch_m: float = 0.0
    swing_m: float = 0.0
    over_edge: bool = False
    setback_m: float | None = None
    lifeline: Lifeline | None = None
    line_users: float = 1

    @property
    def heights(self) -> Heights:
        return Heights(
            within("anchor_m", self.anchor_m, *ANCHORS_M), self.attachment_m - self.crouch_m
        )

    @property
    def upright(self) -> Place:
        """The same for somebody who stands up: whoever crouches may, and then falls farther before
        anything holds. Room is asked for crouched, energy and limits of a fall are held upright."""
        return replace(self, crouch_m=0.0)


@dataclass(frozen=True, slots=True)
class Allowances:
    """Harness stretch and slide, and the margin: figures of the trade where nobody gave others."""

    harness: Figure = HARNESS_M
    margin: Figure = MARGIN_M


class System(Protocol):
    """What catches a fall. `chart` is the product's own table of required clearance, if there is one."""

    @property
    def chart(self) -> Chart | None: ...

    def free_fall(self, place: Place) -> float:
        """How far (m) somebody who stands upright falls before it takes hold."""

    def forbids(self, place: Place, mass_kg: float) -> None:
        """Refused where the product is not made for this place or mass, chart or no chart."""

    def parts(self, place: Place, mass_kg: float) -> tuple[Plane, tuple[Part, ...]]:
        """Its own lengths by formula. Refused 'maker-figure-needed' where only a chart could tell."""


@dataclass(frozen=True, slots=True)
class Clearance:
    """What is needed and what there is. `used` is 'chart' or 'formula'; `formula` beside a chart is
    what the formula would have asked for, where it knows. Figures here are rounded to 0.01 m: what is
    required up, what there is down."""

    used: str
    needed: Sum
    formula: Sum | None
    first_struck: Below
    free_fall_m: float
    flags: tuple[Flag, ...] = ()

    @property
    def required_m(self) -> float:
        """Below the walking surface; never less than nothing."""
        return max(0.0, required(self.needed.below(Plane.SURFACE)))

    @property
    def available_m(self) -> float:
        """Clear height below the walking surface."""
        return available(self.first_struck.depth_m)

    def available_below(self, plane: Plane) -> float:
        """The clear height (m, not rounded) measured below another plane."""
        return self.first_struck.depth_m + self.needed.heights.of(plane)

    @property
    def spare_m(self) -> float:
        """Enough by so much; short by so much where it is negative."""
        return round(self.available_m - self.required_m, 2)

    @property
    def enough(self) -> bool:
        return self.spare_m >= 0


def clearance(
    system: System, place: Place, mass_kg: float, allowances: Allowances = Allowances()
) -> Clearance:
    """The clearance of a fall of this mass (kg) at this place, with the parts of the sum in order.

    Refused: a field missing or out of range, a margin under 0.5 m, a product not made for this, or
    a place outside the product's chart.
    """
    _check(place)
    struck = min(place.below, key=lambda each: each.depth_m)
    system.forbids(place, mass_kg)
    fall = system.free_fall(place)
    if system.chart is None:
        own = _by_formula(system, place, mass_kg, allowances)
        return Clearance("formula", own, None, struck, fall)
    at = _axes(system.chart, place, mass_kg, fall)
    needed = _by_chart(system.chart, place, at, allowances)
    beside = _where_known(system, place, mass_kg, allowances)
    return Clearance("chart", needed, beside, struck, fall, _compared(needed, beside))


def _by_formula(system: System, place: Place, mass_kg: float, allowances: Allowances) -> Sum:
    plane, parts = system.parts(place, mass_kg)
    return Sum((*parts, *_of_place(place, plane, allowances)), plane, place.heights)


def _where_known(
    system: System, place: Place, mass_kg: float, allowances: Allowances
) -> Sum | None:
    """None where a chart stands in for what the formula does not know."""
    try:
        return _by_formula(system, place, mass_kg, allowances)
    except Refused as refused:
        if refused.code != "maker-figure-needed":
            raise
        return None


def _by_chart(
    chart: Chart, place: Place, at: Mapping[str, float | None], allowances: Allowances
) -> Sum:
    added = [
        part
        for part in _of_place(place, chart.plane, allowances)
        if part.code not in chart.includes
    ]
    return Sum((chart_part(chart, at), *added), chart.plane, place.heights)


def _axes(chart: Chart, place: Place, mass_kg: float, fall: float) -> dict[str, float | None]:
    """The system hangs at the end of a sling, unless the chart's figures hold one already."""
    sling = 0.0 if "sling" in chart.includes else place.sling_m
    return {
        "anchor_m": round(place.heights.anchor_m - sling, 6),  # 1.1 less 0.3 is the row of 0.8
        "mass_kg": mass_kg,
        "free_fall_m": fall,
        "setback_m": place.setback_m,
    }


def _of_place(place: Place, plane: Plane, allowances: Allowances) -> tuple[Part, ...]:
    """What the place and the harness add to any system, in order from the anchor downwards."""
    sling = place.sling_m if plane is Plane.ANCHOR else 0.0  # else it is in the free fall
    crouch = place.crouch_m if plane is Plane.SURFACE else 0.0
    found = [
        Part("sling", sling, GIVEN),
        *place.anchor_gives,
        Part(
            "harness", within("harness", allowances.harness.value, 0, 2), allowances.harness.basis
        ),
        Part("crouch", crouch, GIVEN),
        Part("swing", place.swing_m, COMPUTED),
        Part("margin", _margin(allowances), allowances.margin.basis),
    ]
    return tuple(part for part in found if part.metres)


def _margin(allowances: Allowances) -> float:
    return within("margin", allowances.margin.value, LEAST_MARGIN_M, 10)


def _compared(needed: Sum, own: Sum | None) -> tuple[Flag, ...]:
    """A chart that asks for less than the formula is used, and told."""
    if own is None:
        return ()
    more = required(own.below(Plane.SURFACE)) - required(needed.below(Plane.SURFACE))
    return (Flag("formula-asks-for-more", {"more_m": round(more, 2)}),) if more > 0 else ()


def _check(place: Place) -> None:
    within("anchor_m", place.anchor_m, *ANCHORS_M)
    within("attachment_m", place.attachment_m, *ATTACHMENTS_M)
    within("crouch_m", place.crouch_m, 0, place.attachment_m)
    within("sling_m", place.sling_m, 0, 5)
    within("swing_m", place.swing_m, 0, 10)
    if place.setback_m is not None:
        within("setback_m", place.setback_m, 0, 50)
    for part in place.anchor_gives:
        within(part.code, part.metres, 0, 10)
    if not place.below:
        raise Refused("below", "missing", 0, 1000)
    for each in place.below:
        within("below", each.depth_m, 0, 1000)
