"""The sums of a fall held to an integration of the fall itself, made apart from them.

A mass is dropped on what catches it and followed step by step (scipy) until it stands still; the
formulas come from energy alone. Nothing here imports a formula but to compare it.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from math import hypot, sqrt

import pytest

from readiness.rules.sums.arrest import Line, spring_arrest
from readiness.rules.sums.arrest_absorber import Absorber, absorb
from readiness.rules.sums.lifeline import InLineAbsorber, Lifeline, drop, loaded

integrate = pytest.importorskip("scipy.integrate", reason="the extra 'oracle' is not installed")
optimize = pytest.importorskip("scipy.optimize")
G = 9.81
CLOSE = 2e-3


def lowest(mass: float, fall: float, holds: Callable[[float], float]) -> float:
    """How far below 'taut' the mass comes to a stand; `holds` is the force at that depth."""

    def rates(_: float, state: list[float]) -> list[float]:
        return [state[1], G - holds(state[0]) / mass]

    def stands(_: float, state: list[float]) -> float:
        return state[1]

    stands.terminal = True  # type: ignore[attr-defined]
    stands.direction = -1  # type: ignore[attr-defined]
    start = [0.0, max(sqrt(2 * G * fall), 1e-9)]
    run = integrate.solve_ivp(
        rates, (0, 20), start, events=stands, rtol=1e-9, atol=1e-10, max_step=5e-3
    )
    assert run.t_events[0].size
    return float(run.y_events[0][0][0])


@pytest.mark.parametrize(
    ("mass", "modulus", "length", "factor"),
    [*product((50, 100, 150), (25_000, 110_000), (1.0, 2.0), (0.3, 1.0, 2.0))],
)
def test_a_textile_line(mass: float, modulus: float, length: float, factor: float) -> None:
    stretch = lowest(mass, factor * length, lambda y: modulus * max(y, 0) / length)
    found = spring_arrest(mass, factor * length, Line(length, modulus))
    assert found.stretch_m == pytest.approx(stretch, rel=CLOSE)
    assert found.peak_n == pytest.approx(modulus * stretch / length, rel=CLOSE)


def series(force: float, stroke: float | None, stiffness: float) -> Callable[[float], float]:
    """Spring, then the absorber's constant force, then (used up) the spring again."""
    opens = force / stiffness

    def holds(depth: float) -> float:
        if depth <= opens:
            return stiffness * max(depth, 0)
        if stroke is None or depth <= opens + stroke:
            return force
        return stiffness * (depth - stroke)

    return holds


@pytest.mark.parametrize(
    ("mass", "fall", "force", "stroke", "stiffness"),
    [
        *product(
            (50, 80, 100, 140), (0.5, 2.0, 4.0), (3500, 6000), (1.0, 1.75, None), (20_500, 45_000)
        )
    ],
)
def test_a_line_and_an_absorber(
    mass: float, fall: float, force: float, stroke: float | None, stiffness: float
) -> None:
    holds = series(force, stroke, stiffness)
    depth = lowest(mass, fall, holds)
    found = absorb(mass, fall, Absorber(force, stroke, stiffness))
    assert found.distance_m == pytest.approx(depth, rel=CLOSE)
    assert found.peak_n == pytest.approx(holds(depth), rel=CLOSE)
    assert found.bottomed == (stroke is not None and depth > force / stiffness + stroke)


@pytest.mark.parametrize(
    ("mass", "fall", "force"), [*product((50, 100, 140), (0.5, 2.0, 4.0), (4000, 6000))]
)
def test_a_constant_force_is_what_a_stiff_line_comes_to(
    mass: float, fall: float, force: float
) -> None:
    depth = lowest(mass, fall, series(force, None, 10_000_000))
    assert absorb(mass, fall, Absorber(force)).stroke_m == pytest.approx(depth, abs=1e-3)


def upward(line: Lifeline) -> Callable[[float], float]:
    """What one loaded span pulls up with in its middle, from its length alone."""
    half = line.span_m / 2
    hangs = 2 * hypot(half, line.sag_m * sqrt(4 / 3))
    total = line.total_m or line.span_m

    def pull(sag: float) -> float:
        longer = 2 * hypot(half, sag) - hangs
        if sag <= 0 or longer <= 0:
            return 0.0
        tension = line.tension_n + line.modulus_n * longer / total
        if line.absorber is not None:
            tension = min(tension, line.absorber.force_n)
        return 2 * tension * sag / hypot(half, sag)

    return pull


LINES = [
    Lifeline(10, 2_500_000, 1000),
    Lifeline(20, 2_500_000, 1000),
    Lifeline(30, 1_000_000, 500, total_m=90),
    Lifeline(12, 2_500_000, 0, sag_m=0.3),
    Lifeline(20, 2_500_000, 1000, absorber=InLineAbsorber(13_000, 3.0)),
]


@pytest.mark.parametrize(
    ("line", "mass", "fall", "force", "users"),
    [*product(LINES, (80, 140), (1.8, 3.5), (4000, 6000), (1, 2))],
)
def test_a_lifeline_and_everybodys_absorber(
    line: Lifeline, mass: float, fall: float, force: float, users: int
) -> None:
    """The lanyard is taut first on the line, then on the absorber: the line is followed down until
    it pulls `force` for each person, from there the force stays."""
    pull = upward(line)
    sag = optimize.brentq(lambda s: pull(s) - force * users, 1e-9, line.span_m / 2, xtol=1e-12)
    depth = lowest(mass, fall, lambda y: min(pull(y) / users, force) if y < sag else force)
    assert loaded(line, force, users).sag_m == pytest.approx(sag, rel=CLOSE)
    found = drop(line, mass, fall, force, users)
    if depth > sag:
        assert found.metres == pytest.approx(depth, rel=CLOSE)
    else:
        assert found.stroke_m == 0
        assert found.metres >= depth
