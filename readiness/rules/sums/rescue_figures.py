"""Kept figures of a rescue (JSON, SI units): only what the register does not know is kept here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

from readiness.rules.sums.given import Given
from readiness.rules.sums.ranges import LEAST, length, seconds
from readiness.rules.sums.rescue_energy import ENERGY_J, ONE_DESCENT
from readiness.rules.sums.rescue_rope import MOST_RATIO, TAIL_M
from readiness.rules.sums.rescue_times import TRANSFER_LIFT_M
from readiness.rules.sums.values import Refused, within

CLASSES: Final = (*ENERGY_J, ONE_DESCENT)
EFFICIENCY: Final = 0.75
"""Of each pulley where nothing is typed: the low end of rescue pulleys (`rescue_haul`)."""


@dataclass(frozen=True, slots=True)
class KitGiven:
    """What was measured or read at one kit; None where nobody has."""

    rope_m: float | None = None
    doubled: bool = False
    stopper: bool = False
    ratio: int | None = None
    efficiency: float = EFFICIENCY
    en341_class: str = ""
    used: int = 0
    pole_m: float | None = None


@dataclass(frozen=True, slots=True)
class RescueGiven:
    """Lengths in metres above the walking surface, speeds in m/s. `rig_s` is an estimate, asked for
    only where no drill proves the plan; `anchor_m` and `casualty_m` are for the picture alone."""

    to_device_m: float = 0
    tail_m: float = TAIL_M
    lift_m: float = TRANSFER_LIFT_M
    rig_s: float | None = None
    rope_m_s: float = 0.3
    lower_m_s: float = 0.5
    anchor_m: float = 2.0
    casualty_m: float | None = None
    landing: str = ""
    to_casualty_m: float | None = None
    kits: Mapping[str, KitGiven] = field(default_factory=lambda: MappingProxyType({}))


def read_rescue(figures: object) -> RescueGiven:
    """Refused: a figure of the wrong kind or out of range, or one that nobody knows."""
    given = Given(figures)
    given.format()
    rig, reach = given.number("rig_s"), given.number("to_casualty_m")
    hangs = given.number("casualty_m")
    usual = RescueGiven()
    found = RescueGiven(
        to_device_m=length("to_device_m", given.number_or("to_device_m", usual.to_device_m)),
        tail_m=length("tail_m", given.number_or("tail_m", usual.tail_m)),
        lift_m=length("lift_m", given.number_or("lift_m", usual.lift_m), 0, 50),
        rig_s=None if rig is None else seconds("rig_s", rig),
        rope_m_s=within("rope_m_s", given.number_or("rope_m_s", usual.rope_m_s), LEAST, 10),
        lower_m_s=within("lower_m_s", given.number_or("lower_m_s", usual.lower_m_s), LEAST, 10),
        anchor_m=within("anchor_m", given.number_or("anchor_m", usual.anchor_m), -1000, 1000),
        casualty_m=None if hangs is None else within("casualty_m", hangs, -1000, 1000),
        landing=given.text("landing"),
        to_casualty_m=None if reach is None else length("to_casualty_m", reach),
        kits=MappingProxyType(dict(_kit(row) for row in given.rows("kits"))),
    )
    given.end()
    return found


def _kit(row: Given) -> tuple[str, KitGiven]:
    name = row.text("kit")
    if not name:
        raise Refused(row.field("kit"), "missing")
    rope, pole = row.number("rope_m"), row.number("pole_m")
    ratio = _whole(row, "ratio", 1, MOST_RATIO)
    share = row.number_or("efficiency", EFFICIENCY)
    found = KitGiven(
        rope_m=None if rope is None else length(row.field("rope_m"), rope),
        doubled=row.flag("doubled"),
        stopper=row.flag("stopper"),
        ratio=ratio,
        efficiency=within(row.field("efficiency"), share, LEAST, 1),
        en341_class=row.text("en341_class"),
        used=_whole(row, "used", 0, 10_000) or 0,
        pole_m=None if pole is None else length(row.field("pole_m"), pole),
    )
    if found.en341_class and found.en341_class not in CLASSES:
        raise Refused(row.field("en341_class"), "not-a-class")
    row.end()
    return name, found


def _whole(row: Given, name: str, low: int, high: int) -> int | None:
    """A count: half a one is refused, never rounded down."""
    value = row.number(name)
    if value is None:
        return None
    if within(row.field(name), value, low, high) != int(value):
        raise Refused(row.field(name), "not-whole", low, high)
    return int(value)
