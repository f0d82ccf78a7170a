"""The peak force where nothing but the stretch of a textile line stops the fall."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from readiness.rules.sums.figures import MASSES_KG, STATIC_LANYARD_MODULUS_N
from readiness.rules.sums.units import G
from readiness.rules.sums.values import Refused, within

MODULI_N = (5_000.0, 250_000.0)  # textile; wire rope is ten times stiffer
LENGTHS_M = (0.2, 50.0)


@dataclass(frozen=True, slots=True)
class Line:
    """A line by material ('textile' or 'wire'), length in m and modulus EA in N."""

    length_m: float
    modulus_n: float = STATIC_LANYARD_MODULUS_N.value
    material: str = "textile"


@dataclass(frozen=True, slots=True)
class SpringArrest:
    """Peak force (N) and stretch (m); an upper bound for a person: rigid mass, no slip, no damping."""

    peak_n: float
    stretch_m: float
    fall_factor: float


def fall_factor(free_fall_m: float, length_m: float) -> float:
    """Free fall by length of line, 0 to 2; higher is no fall on that line alone."""
    length = within("length_m", length_m, *LENGTHS_M)
    return within("free_fall_m", free_fall_m, 0, 2 * length) / length


def spring_arrest(mass_kg: float, free_fall_m: float, line: Line) -> SpringArrest:
    """F = W + sqrt(W² + 2·W·EA·h/L), stretch F·L/EA.

    Valid for textile lines of 5 to 250 kN modulus, fall factor 0 to 2, 50 to 150 kg. Refused for wire
    rope: its own stretch stops nobody, and what gives way instead is not in this formula.
    """
    mass = within("mass_kg", mass_kg, *MASSES_KG)
    if line.material != "textile":
        raise Refused("material", "wire-rope")
    modulus = within("modulus_n", line.modulus_n, *MODULI_N)
    factor = fall_factor(free_fall_m, line.length_m)
    peak = spring_peak(mass * G, modulus * factor)
    return SpringArrest(peak, peak * line.length_m / modulus, factor)


def spring_peak(weight: float, modulus_by_factor: float) -> float:
    """The bare formula, any unit of force: EA·h/L beside the weight."""
    return weight + sqrt(weight**2 + 2 * weight * modulus_by_factor)


def modulus_from_peak(peak_n: float, mass_kg: float, factor: float) -> float:
    """The modulus (N) a line must have had: the inverse of `spring_arrest`.

    Refused where the peak is not above twice the weight: even a fall of nothing gives that.
    """
    weight = within("mass_kg", mass_kg, *MASSES_KG) * G
    peak = within("peak_n", peak_n, 0, 100_000)
    if peak <= 2 * weight:
        raise Refused("peak_n", "under-twice-the-weight", 2 * weight, 100_000)
    return peak * (peak - 2 * weight) / (2 * weight * within("fall_factor", factor, 0.01, 2))
