"""What a descender has in it: the energy of each descent against its class (EN 341:2011)."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor
from types import MappingProxyType
from typing import Final

from readiness.rules.needs import exceeds
from readiness.rules.sums.ranges import LEAST, length, mass
from readiness.rules.sums.units import G
from readiness.rules.sums.values import Refused, within

ENERGY_J: Final = MappingProxyType({"A": 7.5e6, "B": 1.5e6, "C": 0.5e6})
"""Joules, EN 341:2011 as a test house summarises it (read-2). Class D is good for one descent."""
ONE_DESCENT: Final = "D"
_NOISE: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Descender:
    """A device by its label and its log. What is marked on it stands above the class.

    `marked_descents`, `max_kg` and `max_height_m` are None where nothing is marked; `used` is how
    many descents it has made, `used_j` their energy where it was reckoned. `energy_j` is what the
    maker says it has in it; of class and maker the smaller counts.
    """

    en341_class: str
    marked_descents: int | None = None
    max_kg: float | None = None
    max_height_m: float | None = None
    used: int = 0
    used_j: float = 0
    energy_j: float | None = None


@dataclass(frozen=True, slots=True)
class Descents:
    """Joules of one descent, how many the device has left in it, and how many are asked for.
    `why` is empty, or one of `load`, `height`, `spent`, in this order."""

    each_j: float
    left: int
    wanted: int
    why: str

    @property
    def enough(self) -> bool:
        return not self.why


def descent_energy(load_kg: float, height_m: float, times: int = 1, gravity: float = G) -> float:
    """m g h n, in joules."""
    return (
        mass("load_kg", load_kg)
        * gravity
        * length("height_m", height_m)
        * within("times", times, 0, 1e6)
    )


def most_descents(energy_j: float, load_kg: float, height_m: float, gravity: float = G) -> int:
    """floor(E / (m g h)): whole descents of one load from one height."""
    each = descent_energy(load_kg, length("height_m", height_m, LEAST), 1, gravity)
    return floor(within("energy_j", energy_j, 0, 1e9) / each + _NOISE)


def descents(
    device: Descender, casualty_kg: float, height_m: float, times: int = 1, rescuer_kg: float = 0
) -> Descents:
    """Whether the device brings `times` people down, each with the rescuer where accompanied."""
    load = mass("casualty_kg", casualty_kg) + within("rescuer_kg", rescuer_kg, 0, 1000)
    each = descent_energy(load, length("height_m", height_m, LEAST))
    left = _left(device, load, height_m, each)
    wanted = int(within("times", times, 1, 10_000))
    return Descents(each, left, wanted, _why(device, load, height_m, enough=left >= wanted))


def _left(device: Descender, load_kg: float, height_m: float, each_j: float) -> int:
    used = int(within("used", device.used, 0, 1e6))
    known = [ENERGY_J.get(device.en341_class), device.energy_j]
    energy = min((one for one in known if one is not None), default=None)
    if device.en341_class == ONE_DESCENT:
        most = 1
    elif energy is not None:
        spent = device.used_j or used * _as_marked(device, each_j)
        most = used + most_descents(max(0.0, energy - spent), load_kg, height_m)
    else:
        raise Refused("en341_class", "not-a-class")
    if device.marked_descents is not None:
        most = min(most, device.marked_descents)
    return max(0, most - used)


def _as_marked(device: Descender, each_j: float) -> float:
    """An earlier descent that nobody reckoned: the most the label allows, never less than this."""
    if device.max_kg is None or device.max_height_m is None:
        return each_j
    return max(each_j, descent_energy(device.max_kg, device.max_height_m))


def _why(device: Descender, load_kg: float, height_m: float, *, enough: bool) -> str:
    if device.max_kg is not None and exceeds(load_kg, device.max_kg):
        return "load"
    if device.max_height_m is not None and exceeds(height_m, device.max_height_m):
        return "height"
    return "" if enough else "spent"


def descent_times(height_m: float, slowest_m_s: float, fastest_m_s: float) -> tuple[float, float]:
    """The shortest and the longest seconds a descent takes between the device's two speeds."""
    height = length("height_m", height_m)
    slowest = within("slowest_m_s", slowest_m_s, LEAST, 10)
    fastest = within("fastest_m_s", fastest_m_s, slowest, 10)
    return height / fastest, height / slowest
