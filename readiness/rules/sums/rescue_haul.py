"""What it takes to raise a casualty by hand: real pulls, not the ratio that is printed on the bag.

A simple tackle: one rope, all pulleys travel or stand together; a last redirect at the anchor is
not counted. Each pulley passes on the share `efficiency` of the pull: 0.75 to 0.9 for rescue
pulleys, about 0.5 or less over a connector (read in a rope rescue handbook page).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from readiness.rules.needs import exceeds
from readiness.rules.sums.ranges import LEAST, length, mass
from readiness.rules.sums.rescue_rope import MOST_RATIO
from readiness.rules.sums.units import G
from readiness.rules.sums.values import Basis, Figure, within

HANDLE: Final = Figure(
    250.0, Basis("read-2", "EN 1496:2017, greatest force at the handle at the rated mass")
)
"""Newtons. A limit of lifting devices; beside a haul by rope it is a measure to compare with."""


@dataclass(frozen=True, slots=True)
class Haul:
    """Newtons and metres: the pull at the hand, what the ratio alone would promise, the rope."""

    advantage: float
    effort_n: float
    ideal_n: float
    pulled_m: float

    @property
    def past_handle(self) -> bool:
        """One person's hand is asked for more than a lifting device may ask for."""
        return exceeds(self.effort_n, HANDLE.value)


def haul(load_kg: float, ratio: int, efficiency: float, lift_m: float) -> Haul:
    """The haul of a load over `lift_m` by a simple tackle of whole `ratio`."""
    advantage = simple_advantage(ratio, efficiency)
    weight = mass("load_kg", load_kg) * G
    return Haul(advantage, weight / advantage, weight / ratio, rope_pulled(ratio, lift_m))


def simple_advantage(ratio: int, efficiency: float) -> float:
    """The sum of e^i, i from 0 to ratio - 1."""
    within("ratio", ratio, 1, MOST_RATIO)
    within("efficiency", efficiency, LEAST, 1)
    return sum(efficiency**turn for turn in range(int(ratio)))


def ideal_effort(load: float, ratio: int) -> float:
    """load / ratio, in the load's own unit: without any loss, which nobody has."""
    return within("load", load, 0, 1e6) / within("ratio", ratio, 1, MOST_RATIO)


def rope_pulled(ratio: int, lift_m: float) -> float:
    """ratio x lift, in the unit of the lift."""
    return within("ratio", ratio, 1, MOST_RATIO) * length("lift_m", lift_m)
