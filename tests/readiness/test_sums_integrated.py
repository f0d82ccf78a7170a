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
from readiness.rules.sums.arrest_on_line import absorb_at
from readiness.rules.sums.fall import fall_answer
from readiness.rules.sums.lifeline import InLineAbsorber, Lifeline, drop, loaded, slack_sag
from tests.readiness.fall_figures import lanyard_figures

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


def hangs(
    line: Lifeline, mass: float, fall: float, force: float, users: int
) -> tuple[float, float]:
    """How far below the straight line everybody comes to a stand, and how much of that is the sag.
    The fall is that to the straight line: what is slack in it is fallen as well."""
    pull = upward(line)
    sag = optimize.brentq(lambda s: pull(s) - force * users, 1e-9, line.span_m / 2, xtol=1e-12)
    depth = lowest(mass, fall, lambda y: min(pull(y) / users, force) if y < sag else force)
    return depth, min(sag, depth)


@pytest.mark.parametrize(
    ("line", "mass", "fall", "force", "users"),
    [*product(LINES, (80, 140), (1.0, 3.0), (4000,), (1, 2))],
)
def test_on_a_lifeline_the_absorber_is_never_told_to_open_less_than_it_does(
    line: Lifeline, mass: float, fall: float, force: float, users: int
) -> None:
    """Nor less than at a rigid anchor; where the line leaves it more to do, just that."""
    depth, sag = hangs(line, mass, fall, force, users)
    free = fall + slack_sag(line)
    found = absorb_at(line, users, mass, free, Absorber(force)).stroke_m
    rigid = absorb(mass, free, Absorber(force)).stroke_m
    opens = depth - sag
    assert found >= max(opens, rigid) - 1e-6
    assert found == pytest.approx(max(opens, rigid), rel=CLOSE)


def test_a_lifeline_can_use_up_an_absorber_that_a_rigid_anchor_would_not() -> None:
    """140 kg, 6 m of line that slips in from eight bays, 2 m to fall: by the integration too."""
    line = Lifeline(10, 400_000, 200, total_m=80)
    depth, sag = hangs(line, 140, 2.2, 4000, 1)
    rigid = absorb(140, 2.2, Absorber(4000, 1.25))
    assert not rigid.bottomed
    assert depth - sag > 1.25
    assert absorb_at(line, 1, 140, 2.2, Absorber(4000, 1.25)).bottomed


@pytest.mark.parametrize(
    ("anchor", "mass", "users"), [*product((0.5, 1.5, 2.0), (80, 100, 130), (1, 2))]
)
def test_the_room_asked_below_a_lifeline_holds_the_whole_fall(
    anchor: float, mass: float, users: int
) -> None:
    """From its ends down: lanyard, extension and sag are never less than what is integrated."""
    line = {"span_m": 12, "modulus_n": 2_500_000, "tension_n": 500, "sag_m": 0.2, "users": users}
    figures = lanyard_figures(
        anchor_m=anchor, mass_kg=mass, max_kg=140, force_n=4500, lifeline=line
    )
    answer = fall_answer(figures | {"below": [{"name": "floor", "depth_m": 15}]})
    depth, sag = hangs(Lifeline(12, 2_500_000, 500, 0.2), mass, 3.5 - anchor, 4500, users)
    told = {part.code: part.metres for part in answer.clearance.needed.parts}
    assert told["lanyard"] + told["extension"] + told["lifeline-sag"] >= 2.0 + depth
    assert answer.arrest is not None
    assert answer.arrest.stroke_m >= depth - sag - 1e-6


@pytest.mark.parametrize("crouch", [0.0, 0.4, 0.8])
def test_whoever_crouches_may_stand_up_and_fall_farther(crouch: float) -> None:
    """Upright the attachment is 1.5 m up and the anchor 2 m: 1.5 m to fall on a lanyard of 2 m."""
    figures = lanyard_figures(crouch_m=crouch, force_n=4000)
    answer = fall_answer(figures)
    assert answer.arrest is not None
    depth = lowest(100, 1.5, series(4000, None, 10_000_000))
    assert answer.arrest.stroke_m == pytest.approx(depth, abs=1e-3)
