"""What an energy absorber does for one mass and one free fall: how far it opens, and how hard it stops."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from readiness.rules.sums.figures import MASSES_KG
from readiness.rules.sums.units import G
from readiness.rules.sums.values import Flag, Refused, within

FORCES_N = (1_000.0, 22_000.0)
STROKES_M = (0.05, 3.0)
STIFFNESSES = (1_000.0, 1_000_000.0)  # N/m of the lanyard and what holds it
FREE_FALLS_M = (0.0, 4.0)  # twice a lanyard of 2 m; an absorber is proven for no more
NEAR_THE_END = 0.85  # of the extension there is: policy


@dataclass(frozen=True, slots=True)
class Absorber:
    """Tears open at `force_n` (average, N) for `stroke_m` at most; the line before it stretches by
    `stiffness` (N/m), or not at all where that is not known."""

    force_n: float
    stroke_m: float | None = None
    stiffness: float | None = None
    min_kg: float | None = None
    max_kg: float | None = None


@dataclass(frozen=True, slots=True)
class Arrest:
    """From the moment the line is taut. `distance_m` and `peak_n` are None where the absorber is used
    up and nothing is known of the line behind it: nobody may count on that arrest."""

    stroke_m: float
    distance_m: float | None
    peak_n: float | None
    bottomed: bool
    flags: tuple[Flag, ...] = ()


def stroke_for(weight: float, force: float, free_fall: float) -> float:
    """x = W·h/(F - W): the energy balance of a constant force. Any units, the same on both sides."""
    if force <= weight:
        raise Refused("force_n", "cannot-stop", weight)
    return weight * free_fall / (force - weight)


def force_to_stop(weight: float, free_fall: float, stop: float) -> float:
    """F = W·(h + x)/x: the average force that stops within x. Any units."""
    if stop <= 0:
        raise Refused("stop", "out-of-range", 0)
    return weight * (free_fall + stop) / stop


def max_mass(force_n: float, free_fall_m: float, stroke_m: float) -> float:
    """The heaviest mass (kg) that does not use the absorber up: m = F·s/(g·(h + s)). Show it rounded down."""
    force = within("force_n", force_n, *FORCES_N)
    stroke = within("stroke_m", stroke_m, *STROKES_M)
    return force * stroke / (G * (within("free_fall_m", free_fall_m, *FREE_FALLS_M) + stroke))


def twice_impact_energy(weight: float, free_fall: float) -> float:
    """2·W·h, what a system must hold by 29 CFR 1926.502(d)(16)(v); the stopping distance not counted."""
    return 2 * weight * free_fall


def absorb(mass_kg: float, free_fall_m: float, absorber: Absorber) -> Arrest:
    """Line and absorber in series, by energy balance; with flags for what comes too near to a limit.

    Valid for 50 to 150 kg, free falls to 4 m, 1 to 22 kN. Refused where the force cannot hold the
    weight and no end of the stroke is known.
    """
    weight = within("mass_kg", mass_kg, *MASSES_KG) * G
    fall = within("free_fall_m", free_fall_m, *FREE_FALLS_M)
    _check(absorber)
    arrest = _by_line_alone(weight, fall, absorber) or _opening(weight, fall, absorber)
    if arrest is None:
        arrest = _used_up(weight, fall, absorber)
    return Arrest(
        arrest.stroke_m,
        arrest.distance_m,
        arrest.peak_n,
        arrest.bottomed,
        flags_of(mass_kg, arrest, absorber),
    )


def _check(absorber: Absorber) -> None:
    within("force_n", absorber.force_n, *FORCES_N)
    if absorber.stroke_m is not None:
        within("stroke_m", absorber.stroke_m, *STROKES_M)
    if absorber.stiffness is not None:
        within("stiffness", absorber.stiffness, *STIFFNESSES)


def _by_line_alone(weight: float, fall: float, absorber: Absorber) -> Arrest | None:
    if absorber.stiffness is None:
        return None
    stretch = _stretch(weight, weight * fall, absorber.stiffness)
    peak = absorber.stiffness * stretch
    return Arrest(0.0, stretch, peak, bottomed=False) if peak <= absorber.force_n else None


def _opening(weight: float, fall: float, absorber: Absorber) -> Arrest | None:
    """None where it cannot stop the fall within its stroke."""
    force, stiffness = absorber.force_n, absorber.stiffness
    stretch, stored = (force / stiffness, force**2 / (2 * stiffness)) if stiffness else (0.0, 0.0)
    if force <= weight:
        if absorber.stroke_m is None:
            raise Refused("force_n", "cannot-stop", weight)
        return None
    stroke = (weight * (fall + stretch) - stored) / (force - weight)
    if absorber.stroke_m is not None and stroke > absorber.stroke_m:
        return None
    return Arrest(stroke, stretch + stroke, force, bottomed=False)


def _used_up(weight: float, fall: float, absorber: Absorber) -> Arrest:
    stroke = absorber.stroke_m or 0.0
    if absorber.stiffness is None:
        return Arrest(stroke, None, None, bottomed=True)
    left = weight * (fall + stroke) - absorber.force_n * stroke
    stretch = _stretch(weight, left, absorber.stiffness)
    return Arrest(stroke, stretch + stroke, absorber.stiffness * stretch, bottomed=True)


def _stretch(weight: float, energy: float, stiffness: float) -> float:
    """How far a spring gives under a weight that brings this energy: k·y²/2 = energy + W·y."""
    return (weight + sqrt(weight**2 + 2 * stiffness * energy)) / stiffness


def flags_of(mass_kg: float, arrest: Arrest, absorber: Absorber) -> tuple[Flag, ...]:
    """What comes too near to a limit of the absorber."""
    found = []
    if absorber.max_kg is not None and mass_kg > absorber.max_kg:
        found.append(Flag("mass-over-maximum", {"mass_kg": mass_kg, "max_kg": absorber.max_kg}))
    if absorber.min_kg is not None and mass_kg < absorber.min_kg:
        found.append(Flag("mass-under-minimum", {"mass_kg": mass_kg, "min_kg": absorber.min_kg}))
    if absorber.stroke_m is None:
        return tuple(found)
    facts = {"stroke_m": arrest.stroke_m, "max_stroke_m": absorber.stroke_m}
    if arrest.bottomed:
        found.append(Flag("bottoms-out", facts))
    elif arrest.stroke_m > NEAR_THE_END * absorber.stroke_m:
        found.append(Flag("extension-near-end", facts))
    return tuple(found)
