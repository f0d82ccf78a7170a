"""How many spares cover the pieces that are away at the same time (Poisson)."""

from __future__ import annotations

from math import exp

ENOUGH = 0.95


def away_at_once(outages_a_year: float, days_away: float) -> float:
    """The mean number away at a time (Little's law)."""
    return outages_a_year * days_away / 365


def covered_by(spares: int, mean: float) -> float:
    """The chance that no more than so many are away at once."""
    term = total = exp(-mean)
    for number in range(1, spares + 1):
        term *= mean / number
        total += term
    return min(1.0, total)


def spares_for(mean: float, enough: float = ENOUGH) -> int:
    """The fewest spares that are enough with this chance."""
    spares = 0
    while covered_by(spares, mean) < enough:
        spares += 1
    return spares
