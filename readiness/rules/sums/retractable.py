"""Clearance of a retractable: overhead, at the shoulder, below it, or over an edge."""

from __future__ import annotations

from dataclasses import dataclass

from readiness.rules.needs import exceeds
from readiness.rules.sums.chart import Chart
from readiness.rules.sums.clearance import Place
from readiness.rules.sums.figures import RETRACTABLE_RULES, RetractableRule
from readiness.rules.sums.limits import check_mass
from readiness.rules.sums.values import COMPUTED, Figure, Part, Plane, Refused, within


@dataclass(frozen=True, slots=True)
class Retractable:
    """`rule` is a key of RETRACTABLE_RULES. `arrest` is the maker's arrest distance for the device
    overhead or at the shoulder, `arrest_below` for one hanging lower than the attachment, down to
    `max_below_m`, `arrest_edge` over an edge: None where the maker's text gives none."""

    rule: str = "en-360"
    arrest: Figure | None = None
    arrest_below: Figure | None = None
    arrest_edge: Figure | None = None
    max_below_m: float | None = None
    edge_rated: bool = False
    min_kg: float | None = None
    max_kg: float | None = None
    chart: Chart | None = None

    def free_fall(self, place: Place) -> float:
        """From level with the device down to where the line is out: 0 overhead (in the arrest distance).
        Upright, even where somebody crouches."""
        return _above_device(place.upright)

    def forbids(self, place: Place, mass_kg: float) -> None:
        """Refused: mass, an edge it is not rated for, hanging lower than it may."""
        check_mass(mass_kg, self.min_kg, self.max_kg, self._rule().max_kg)
        if place.over_edge and not self.edge_rated:
            raise Refused("over_edge", "not-edge-rated")
        below, most = self.free_fall(place), self._most_below()
        if exceeds(below, most):
            highest = place.heights.attachment_m + place.sling_m - most
            raise Refused("anchor_m", "below-the-attachment", highest, None, below_m=below)

    def parts(self, place: Place, mass_kg: float) -> tuple[Plane, tuple[Part, ...]]:
        """Below the walking surface: what is fallen before the line runs out, and the arrest."""
        chosen, below = self._arrest(place, self.free_fall(place)), _above_device(place)
        arrest = Part("arrest", within("arrest", chosen.value, 0.1, 5), chosen.basis)
        before = (Part("free-fall", below, COMPUTED),) if below else ()
        return Plane.SURFACE, (*before, arrest)

    def _rule(self) -> RetractableRule:
        if self.rule not in RETRACTABLE_RULES:
            raise Refused("rule", "not-known")
        return RETRACTABLE_RULES[self.rule]

    def _most_below(self) -> float:
        if self.max_below_m is None:
            return self._rule().max_below_m
        return within("max_below_m", self.max_below_m, 0, 2)

    def _arrest(self, place: Place, below: float) -> Figure:
        """Of what applies, the largest; over an edge and below the attachment only what is known."""
        asked: list[Figure | None] = [self.arrest or self._rule().arrest]
        if below:
            by_rule = self._rule().arrest if self._rule().max_below_m else None
            asked.append(self.arrest_below or by_rule)
        if place.over_edge:
            asked.append(self.arrest_edge)
        known = [each for each in asked if each is not None]
        if len(known) < len(asked):
            raise Refused("arrest", "maker-figure-needed")
        return max(known, key=lambda each: each.value)


def _above_device(place: Place) -> float:
    """How far the attachment is above the device, as somebody stands or crouches there."""
    return max(0.0, place.heights.attachment_m - (place.heights.anchor_m - place.sling_m))
