"""Feet, pounds and pounds-force at the edge; what is required rounds up, what there is rounds down."""

from __future__ import annotations

from math import ceil, floor

G = 9.81  # m/s2, as the trade's tables reckon

# Exact by definition: the international foot and pound of 1959, and standard gravity 9.80665 m/s2.
METRES_IN_FOOT = 0.3048
METRES_IN_INCH = 0.0254
KILOGRAMS_IN_POUND = 0.45359237
NEWTONS_IN_POUND_FORCE = 4.4482216152605

STEP_M = 0.01
STEP_FT = 0.1
_NOISE = 1e-9  # of a step: 6.75 that a computer holds as 6.750000000000001 stays 6.75


def feet(metres: float) -> float:
    return metres / METRES_IN_FOOT


def metres(feet: float) -> float:
    return feet * METRES_IN_FOOT


def metres_from_inches(inches: float) -> float:
    return inches * METRES_IN_INCH


def pounds(kilograms: float) -> float:
    return kilograms / KILOGRAMS_IN_POUND


def kilograms(pounds: float) -> float:
    return pounds * KILOGRAMS_IN_POUND


def pounds_force(newtons: float) -> float:
    return newtons / NEWTONS_IN_POUND_FORCE


def newtons(pounds_force: float) -> float:
    return pounds_force * NEWTONS_IN_POUND_FORCE


def required(length: float, step: float = STEP_M) -> float:
    """A length that is needed: up to the next step (0.01 m, or STEP_FT for feet)."""
    return _of_steps(ceil(length / step - _NOISE), step)


def available(length: float, step: float = STEP_M) -> float:
    """A length that there is: down to the step."""
    return _of_steps(floor(length / step + _NOISE), step)


def _of_steps(count: int, step: float) -> float:
    return round(count * step, 2)
