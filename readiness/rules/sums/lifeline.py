"""A horizontal lifeline under a fall: how far it comes down, and how hard it pulls at its ends.

A straight weightless line between rigid ends, loaded in the middle of one span, where it sags most.
Over intermediate anchors it slips without friction, so that its whole length stretches into the loaded
span. Several people are taken to fall at once in that same middle. All of this asks for more room than
a line that is braced better. It is no design: law wants a qualified person and a factor of two
(29 CFR 1926.502(d)(8)), and CSA Z259.16-21 bars static sums for ends that give.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, radians, sin, sqrt

from readiness.rules.sums.figures import MASSES_KG
from readiness.rules.sums.units import G
from readiness.rules.sums.values import Basis, Part, Refused, within

SPANS_M = (1.0, 60.0)
MODULI_N = (20_000.0, 20_000_000.0)
FORCES_N = (500.0, 22_000.0)  # of each person
MOST_USERS = 4
STEPS = 200  # of halving: far past what a float can hold


@dataclass(frozen=True, slots=True)
class InLineAbsorber:
    """Gives way at `force_n` (N) in the line, for `stroke_m` at most."""

    force_n: float
    stroke_m: float


@dataclass(frozen=True, slots=True)
class Lifeline:
    """`span_m` is the loaded span, `total_m` the whole line where it runs over intermediate anchors,
    `sag_m` how far the unloaded line hangs in the middle, `tension_n` its tension before the fall."""

    span_m: float
    modulus_n: float
    tension_n: float = 0.0
    sag_m: float = 0.0
    total_m: float | None = None
    absorber: InLineAbsorber | None = None


@dataclass(frozen=True, slots=True)
class Loaded:
    """Sag (m) below the straight line, tension (N), what the absorber gave (m), energy taken (J)."""

    sag_m: float
    tension_n: float
    absorber_m: float
    energy_j: float


@dataclass(frozen=True, slots=True)
class Drop:
    """From the moment the lanyard is taut: sag and stroke of each person's own absorber."""

    loaded: Loaded
    stroke_m: float

    @property
    def metres(self) -> float:
        return self.loaded.sag_m + self.stroke_m


def amplification(sag_angle_deg: float) -> float:
    """T/F = 1/(2·sin a): pull at each end by load in the middle. 1 to 90 degrees below the horizontal."""
    return 1 / (2 * sin(radians(within("sag_angle_deg", sag_angle_deg, 1, 90))))


def tension_from_sag(force: float, span: float, sag: float) -> float:
    """T = F·sqrt((span/2)² + sag²)/(2·sag), static, in the middle; the force's own unit."""
    within("span", span, 0.1, 1000)
    return force * hypot(span / 2, within("sag", sag, 0.001, span)) / (2 * sag)


def loaded(line: Lifeline, force_n: float, users: float = 1) -> Loaded:
    """The line under `users` times `force_n` in the middle of the span.

    2·T·s/sqrt(a² + s²) = F with T = T0 + EA·Δ/length, T at most the absorber's force while it gives.
    Refused where the absorber in the line is used up, or where the line would hang steeper than 45
    degrees: then this picture of it does not hold.
    """
    people = within("users", users, 1, MOST_USERS)
    if people != int(people):
        raise Refused("users", "not-whole", 1, MOST_USERS)
    load = within("force_n", force_n, *FORCES_N) * people
    _check(line)
    sag = _sag_under(line, load)
    found = _at(line, sag)
    absorber = line.absorber
    if absorber is not None and found.absorber_m > absorber.stroke_m:
        raise Refused("in_line_absorber", "bottoms-out", 0, absorber.stroke_m)
    return found


def drop(
    line: Lifeline, mass_kg: float, free_fall_m: float, force_n: float, users: float = 1
) -> Drop:
    """x = (W·(h + s) - U)/(F - W) for each person's absorber of constant force, U the line's share.

    Where the line alone takes the energy the absorber stays shut: x = 0, and the sag is an upper bound.
    """
    weight = within("mass_kg", mass_kg, *MASSES_KG) * G
    fall = within("free_fall_m", free_fall_m, 0, 4)
    if force_n <= weight:
        raise Refused("force_n", "cannot-stop", weight)
    line_then = loaded(line, force_n, users)
    stroke = (weight * (fall + line_then.sag_m) - line_then.energy_j / users) / (force_n - weight)
    return Drop(line_then, max(0.0, stroke))


def slack_sag(line: Lifeline) -> float:
    """How far (m) the middle comes down before the line begins to hold at all: 0 of a taut one."""
    _check(line)
    half = _unloaded_length(line) / 2
    return sqrt(max(0.0, half * half - line.span_m * line.span_m / 4))


def sag_part(line: Lifeline, force_n: float, users: float = 1) -> Part:
    """What the lifeline adds below itself; take the largest force the system lets through (6 kN, 8 kN)."""
    basis = Basis("computed", "elastic line, rigid ends, everybody in the middle of one span")
    return Part("lifeline-sag", loaded(line, force_n, users).sag_m, basis)


def _check(line: Lifeline) -> None:
    span = within("span_m", line.span_m, *SPANS_M)
    within("modulus_n", line.modulus_n, *MODULI_N)
    within("tension_n", line.tension_n, 0, 20_000)
    within("sag_m", line.sag_m, 0, span / 10)
    if line.total_m is not None:
        within("total_m", line.total_m, span, 500)
    if line.absorber is not None:
        within("absorber_force_n", line.absorber.force_n, max(line.tension_n, 1_000), 22_000)
        within("absorber_stroke_m", line.absorber.stroke_m, 0, 5)


def _at(line: Lifeline, sag: float) -> Loaded:
    """The state of the line when its middle is pulled down so far."""
    total = line.total_m or line.span_m
    longer = 2 * hypot(line.span_m / 2, sag) - _unloaded_length(line)
    if longer <= 0:
        return Loaded(sag, 0.0, 0.0, 0.0)
    stretch = longer
    if line.absorber is not None:
        stretch = min(longer, (line.absorber.force_n - line.tension_n) * total / line.modulus_n)
    tension = line.tension_n + line.modulus_n * stretch / total
    given = longer - stretch
    energy = line.tension_n * stretch + line.modulus_n * stretch**2 / (2 * total) + tension * given
    return Loaded(sag, tension, given, energy)


def _unloaded_length(line: Lifeline) -> float:
    """What of it can come into the loaded span: a line hanging in a flat curve is 8·sag²/(3·span)
    longer than straight; the kink that a load makes of the same length reaches deeper. Every other
    span is taken to hang as deep, and gives up its slack as the line slips over."""
    deep = line.sag_m * sqrt(4 / 3)
    own = 2 * hypot(line.span_m / 2, deep)
    others = (line.total_m or line.span_m) / line.span_m - 1
    return own + others * (own - line.span_m)


def _sag_under(line: Lifeline, load: float) -> float:
    """By halving: the deeper, the more of the load the line carries."""
    low, high = 0.0, line.span_m / 2
    if _carries(line, high) < load:
        raise Refused("span_m", "too-steep", value=line.span_m)
    for _ in range(STEPS):
        middle = (low + high) / 2
        low, high = (middle, high) if _carries(line, middle) < load else (low, middle)
    return high


def _carries(line: Lifeline, sag: float) -> float:
    return 2 * _at(line, sag).tension_n * sag / hypot(line.span_m / 2, sag)
