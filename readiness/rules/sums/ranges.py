"""What lengths, masses and times of the sums of restraint, swing and rescue may be."""

from __future__ import annotations

from typing import Final

from readiness.rules.sums.values import within

MOST_M: Final = 1000.0
MOST_KG: Final = 1000.0
MOST_S: Final = 24 * 3600.0
LEAST: Final = 0.001
"""Of what must be more than nothing: a millimetre, a gram, a thousandth."""


def length(field: str, value: float | None, low: float = 0.0, high: float = MOST_M) -> float:
    """A length from 0 (or `low`) to a kilometre (or `high`), or a refusal that says so."""
    return within(field, value, low, high)


def mass(field: str, value: float | None) -> float:
    """More than nothing, at most a tonne."""
    return within(field, value, LEAST, MOST_KG)


def seconds(field: str, value: float | None) -> float:
    """From nothing to a day."""
    return within(field, value, 0.0, MOST_S)
