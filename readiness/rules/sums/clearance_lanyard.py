"""Free fall and clearance of an energy-absorbing lanyard."""

from __future__ import annotations

from dataclasses import dataclass

from readiness.rules.needs import exceeds
from readiness.rules.sums.arrest_absorber import Absorber, max_mass, stroke_for
from readiness.rules.sums.arrest_on_line import absorb_at, line_falls
from readiness.rules.sums.chart import Chart
from readiness.rules.sums.clearance import Place
from readiness.rules.sums.figures import (
    ABSORBER_RULES,
    ATTACHMENT_M,
    FORCE_LIMITS_N,
    AbsorberRule,
)
from readiness.rules.sums.lifeline import slack_sag
from readiness.rules.sums.limits import check_mass
from readiness.rules.sums.units import G, available, required
from readiness.rules.sums.values import GIVEN, Basis, Figure, Part, Plane, Refused, within

SHORTEST_M = 0.3


def free_fall(length_m: float, attachment_m: float, anchor_m: float) -> float:
    """FF = L + d - h, not below 0 and not above 2L. Any unit of length; heights above the feet.

    Source: OSHA Technical Manual V:4, from memory; the geometry is plain.
    """
    return min(max(0.0, length_m + attachment_m - anchor_m), 2 * length_m)


@dataclass(frozen=True, slots=True)
class Lanyard:
    """A lanyard with absorber and connectors, `length_m` over all; `rule` a key of ABSORBER_RULES.

    `extension` is the maker's figure for the absorber where there is one, else the rule's ceiling;
    `force_n` its average force, by which the energy of the fall is held against that extension.
    """

    length_m: float
    rule: str = "en-355"
    extension: Figure | None = None
    force_n: float | None = None
    min_kg: float | None = None
    max_kg: float | None = None
    max_free_fall_m: float | None = None
    edge_rated: bool = False
    chart: Chart | None = None

    def free_fall(self, place: Place) -> float:
        """Upright, even where somebody crouches; a sling is as much more to fall, and so is a slack
        lifeline. Refused where the lanyard does not reach up to the anchor."""
        length = within("length_m", self.length_m, SHORTEST_M, self._rule().max_length_m)
        heights, reach = place.heights, length + place.sling_m
        if exceeds(heights.anchor_m, heights.attachment_m + reach):
            raise Refused("anchor_m", "out-of-reach", None, heights.attachment_m + reach)
        slack = 0.0 if place.lifeline is None else slack_sag(place.lifeline)
        return free_fall(reach, place.attachment_m, heights.anchor_m) + slack

    def forbids(self, place: Place, mass_kg: float) -> None:
        """Refused: mass outside the product's, a fall beyond its limit, an edge, an absorber used up."""
        check_mass(mass_kg, self.min_kg, self.max_kg, self._rule().max_kg)
        if place.over_edge and not self.edge_rated:
            raise Refused("over_edge", "not-edge-rated")
        fall, most = self.free_fall(place), self._most_free_fall()
        if exceeds(fall, most):
            raise Refused("free_fall_m", "over-free-fall-limit", 0, most, value=fall)
        self._check_energy(mass_kg, fall, place)

    def parts(self, place: Place, mass_kg: float) -> tuple[Plane, tuple[Part, ...]]:
        """Below the anchor: lanyard, extension, and the body below the attachment."""
        extension = self._extension()
        body = Part("body", place.attachment_m, _attachment_basis(place))
        return Plane.ANCHOR, (
            Part("lanyard", self.length_m, GIVEN),
            Part("extension", extension.value, extension.basis),
            body,
        )

    def _rule(self) -> AbsorberRule:
        if self.rule not in ABSORBER_RULES:
            raise Refused("rule", "not-known")
        return ABSORBER_RULES[self.rule]

    def _most_free_fall(self) -> float:
        rule = self._rule().max_free_fall.value
        if self.max_free_fall_m is None:
            return rule
        return within("max_free_fall_m", self.max_free_fall_m, 0, 4)

    def _extension(self) -> Figure:
        chosen = self.extension or self._rule().extension
        within("extension", chosen.value, 0.05, 3)
        return chosen

    def _check_energy(self, mass_kg: float, fall: float, place: Place) -> None:
        """An absorber that is used up stops nobody at any known force: there is no sum then."""
        if self.force_n is None:
            self._check_extension(mass_kg, fall)
            self._check_line(fall, place)
            return
        there_is = self._extension().value
        absorber = Absorber(self.force_n, there_is)
        if absorb_at(place.lifeline, place.line_users, mass_kg, fall, absorber).bottomed:
            most = available(max_mass(self.force_n, fall, there_is), 0.1)
            high = most if place.lifeline is None else None
            raise Refused("mass_kg", "bottoms-out", None, high, value=mass_kg)

    def _check_line(self, fall: float, place: Place) -> None:
        """What a standard promises of an absorber holds to its largest free fall. On a lifeline the
        body comes down by the sag as well, and without a force nothing is known of that energy."""
        if place.lifeline is None:
            return
        most = max(limit.value for limit in FORCE_LIMITS_N.values())
        if exceeds(
            line_falls(place.lifeline, place.line_users, fall, most), self._most_free_fall()
        ):
            raise Refused("force_n", "force-needed-on-line")

    def _check_extension(self, mass_kg: float, fall: float) -> None:
        """A maker's figure without its force: at the most that any rule lets a person take, it is enough."""
        there_is = self._extension().value
        if self.extension is None:
            return
        most = max(limit.value for limit in FORCE_LIMITS_N.values())
        least = stroke_for(mass_kg * G, most, fall)
        if exceeds(least, there_is):
            raise Refused("extension", "extension-too-short", required(least))


def _attachment_basis(place: Place) -> Basis:
    return ATTACHMENT_M.basis if place.attachment_m == ATTACHMENT_M.value else GIVEN
