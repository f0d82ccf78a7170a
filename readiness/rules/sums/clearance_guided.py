"""Clearance of a guided type arrester on a rigid or a flexible line."""

from __future__ import annotations

from dataclasses import dataclass

from readiness.rules.sums.chart import Chart
from readiness.rules.sums.clearance import Place
from readiness.rules.sums.figures import GUIDED_ARREST, GUIDED_MASS
from readiness.rules.sums.limits import check_mass
from readiness.rules.sums.values import GIVEN, Figure, Part, Plane, Refused, within


@dataclass(frozen=True, slots=True)
class Guided:
    """`line` is 'rigid' (EN 353-1) or 'flexible' (EN 353-2); `arrest` the maker's arrest distance.

    A flexible line gives along the length above the arrester: `line_stretch_m` must be told, 0 is
    an answer and silence is not.
    """

    line: str
    line_stretch_m: float | None = None
    arrest: Figure | None = None
    edge_rated: bool = False
    min_kg: float | None = None
    max_kg: float | None = None
    chart: Chart | None = None

    def free_fall(self, place: Place) -> float:
        """In the arrest distance: the arrester goes with the person."""
        return 0.0

    def forbids(self, place: Place, mass_kg: float) -> None:
        """Refused: mass, or a line that runs over an edge."""
        check_mass(mass_kg, self.min_kg, self.max_kg, GUIDED_MASS)
        if self.line not in GUIDED_ARREST:
            raise Refused("line", "not-known")
        if place.over_edge and not self.edge_rated:
            raise Refused("over_edge", "not-edge-rated")

    def parts(self, place: Place, mass_kg: float) -> tuple[Plane, tuple[Part, ...]]:
        """Below the walking surface: arrest, and the stretch of a flexible line."""
        chosen = self.arrest or GUIDED_ARREST[self.line]
        arrest = Part("arrest", within("arrest", chosen.value, 0.1, 5), chosen.basis)
        if self.line == "rigid":
            return Plane.SURFACE, (arrest,)
        stretch = within("line_stretch_m", self.line_stretch_m, 0, 10)
        return Plane.SURFACE, (arrest, Part("line-stretch", stretch, GIVEN))


def line_stretch(force_n: float, length_m: float, modulus_n: float) -> float:
    """How much (m) a line gives: F·L/EA, for a force of 1 to 22 kN and a modulus of 5 to 10 000 kN."""
    force = within("force_n", force_n, 1_000, 22_000)
    length = within("length_m", length_m, 0, 100)
    return force * length / within("modulus_n", modulus_n, 5_000, 10_000_000)
