"""One rescue with one kit, by numbers: rope, pull, energy, load and minutes, each beside its limit.

Planning figures. They make no kit fit for the task: that is the rule of cover alone. Where a figure
and the record of a kit contradict one another, that is a finding, to be mended in the record.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from readiness.rules.needs import exceeds
from readiness.rules.sums.rescue_energy import ENERGY_J, Descender, Descents, descents
from readiness.rules.sums.rescue_figures import KitGiven, RescueGiven
from readiness.rules.sums.rescue_haul import Haul, haul
from readiness.rules.sums.rescue_load import Component, LoadFit, load_fit
from readiness.rules.sums.rescue_rope import (
    Rope,
    RopeFit,
    doubled_rope,
    hauling_rope,
    lowering_rope,
    pole_spare,
    rope_fit,
)
from readiness.rules.sums.rescue_times import Timed, Timeline, Way, timeline, timeline_by_drill
from readiness.rules.sums.values import Flag

Direction = Literal["lower", "raise"]


@dataclass(frozen=True, slots=True)
class RescueTask:
    """What the register says of the task and its plan now; None where it does not know.

    `rescuer_kg` is 0 where nobody descends with the casualty, `times` how many one kit may have to
    lower, `drill` the newest that proves the plan.
    """

    recovery: str
    heaviest_kg: float | None
    lightest_kg: float | None
    lower_m: float | None
    raise_m: float | None
    rescuer_kg: float
    times: int
    alarm_s: float
    target_minutes: float | None
    drill: Timed | None
    remote_attach: bool = False


@dataclass(frozen=True, slots=True)
class RescueKit:
    """What the register says of a kit. `components` bear a mark in kilograms, `unmarked` names parts
    that bear the load and have none there. `rope_m` is the length its rope was delivered at."""

    name: str
    functions: frozenset[str]
    max_load_kg: float
    min_load_kg: float
    max_height_m: float
    energy_j: float | None
    components: tuple[Component, ...]
    unmarked: tuple[str, ...]
    rope_m: float | None
    reach_s: float | None


@dataclass(frozen=True, slots=True)
class KitSum:
    """What came of it; None where something is not known, and `unknown` says what. `findings` are
    contradictions between a figure and the kit's record."""

    kit: RescueKit
    ways: tuple[Direction, ...]
    rope: RopeFit | None
    haul: Haul | None
    descents: Descents | None
    load: LoadFit | None
    minutes: Timeline | None
    pole_spare_m: float | None
    unknown: tuple[str, ...]
    findings: tuple[Flag, ...]

    @property
    def short(self) -> tuple[str, ...]:
        """Which sums say that it is not enough."""
        found = (
            ("way", not self.ways),
            ("rope", self.rope is not None and not self.rope.enough),
            ("load", self.load is not None and not self.load.fits),
            ("energy", self.descents is not None and not self.descents.enough),
            ("time", self.minutes is not None and not self.minutes.in_time),
            ("pole", self.pole_spare_m is not None and exceeds(0, self.pole_spare_m)),
        )
        return tuple(code for code, holds in found if holds)


def kit_sum(task: RescueTask, kit: RescueKit, given: RescueGiven) -> KitSum:
    """The sums of one kit. Refused: where a figure of the task is out of range."""
    own = given.kits.get(kit.name, KitGiven())
    if own.rope_m is None:
        own = replace(own, rope_m=kit.rope_m)
    ways = ways_of(task, kit)
    return KitSum(
        kit=kit,
        ways=ways,
        rope=_rope(task, kit, own, given, ways),
        haul=_haul(task, own, given, ways),
        descents=_descents(task, kit, own, ways),
        load=_load(task, kit),
        minutes=_minutes(task, kit, own, given, ways),
        pole_spare_m=_pole(task, own, given),
        unknown=_unknown(task, kit, own, given, ways),
        findings=_findings(kit, own, given),
    )


def ways_of(task: RescueTask, kit: RescueKit) -> tuple[Direction, ...]:
    """The ways this kit has to bring somebody, as the rule of cover reads them; none: it cannot."""
    able: dict[str, tuple[Direction, ...]] = {
        "lower": ("lower",),
        "raise": ("raise",),
        "both": ("raise", "lower"),
        "either": ("lower",) if "lower" in kit.functions else ("raise",),
    }
    ways = able.get(task.recovery, ())
    return ways if set(ways) <= kit.functions else ()


def _height(task: RescueTask, way: Direction) -> float | None:
    return task.lower_m if way == "lower" else task.raise_m


def _rope(
    task: RescueTask,
    kit: RescueKit,
    own: KitGiven,
    given: RescueGiven,
    ways: tuple[Direction, ...],
) -> RopeFit | None:
    heights = [_height(task, way) for way in ways]
    known = [height for height in heights if height is not None]
    needs = [_need(way, height, own, given) for way, height in zip(ways, heights, strict=True)]
    if not ways or own.rope_m is None or len(known) < len(ways) or None in needs:
        return None
    longest = max(need for need in needs if need is not None)
    limit = kit.max_height_m or None
    return rope_fit(longest, max(known), Rope(own.rope_m, limit, own.stopper))


def _need(way: Direction, height: float | None, own: KitGiven, given: RescueGiven) -> float | None:
    if height is None:
        return None
    if way == "raise":
        return None if own.ratio is None else hauling_rope(own.ratio, height, given.tail_m)
    needed = doubled_rope if own.doubled else lowering_rope
    return needed(height, given.to_device_m, given.tail_m)


def _lift_m(task: RescueTask, given: RescueGiven, ways: tuple[Direction, ...]) -> float | None:
    """All the way up, or as far as takes the casualty off the line."""
    return task.raise_m if "raise" in ways else given.lift_m


def _haul(
    task: RescueTask, own: KitGiven, given: RescueGiven, ways: tuple[Direction, ...]
) -> Haul | None:
    lift = _lift_m(task, given, ways)
    if not ways or task.heaviest_kg is None or own.ratio is None or not lift:
        return None
    return haul(task.heaviest_kg + task.rescuer_kg, own.ratio, own.efficiency, lift)


def _descents(
    task: RescueTask, kit: RescueKit, own: KitGiven, ways: tuple[Direction, ...]
) -> Descents | None:
    known = own.en341_class or kit.energy_j is not None
    if "lower" not in ways or task.heaviest_kg is None or not task.lower_m or not known:
        return None
    device = Descender(
        en341_class=own.en341_class,
        max_kg=kit.max_load_kg,
        max_height_m=kit.max_height_m,
        used=own.used,
        energy_j=kit.energy_j,
    )
    return descents(device, task.heaviest_kg, task.lower_m, max(1, task.times), task.rescuer_kg)


def _load(task: RescueTask, kit: RescueKit) -> LoadFit | None:
    if task.heaviest_kg is None:
        return None
    rated = Component(kit.name, kit.max_load_kg or None, kit.min_load_kg or None)
    parts = (*kit.components, rated)
    return load_fit(parts, task.heaviest_kg, task.lightest_kg, task.rescuer_kg)


def _minutes(
    task: RescueTask,
    kit: RescueKit,
    own: KitGiven,
    given: RescueGiven,
    ways: tuple[Direction, ...],
) -> Timeline | None:
    target = task.target_minutes
    if target is None or kit.reach_s is None or not ways:
        return None
    if task.drill is not None:
        return timeline_by_drill(task.alarm_s, kit.reach_s, task.drill, target)
    lift, lower = _lift_m(task, given, ways), task.lower_m if "lower" in ways else 0.0
    slower = "raise" in ways and own.ratio is None  # a haul takes its ratio times as long
    if given.rig_s is None or lift is None or lower is None or slower:
        return None
    way = Way(lift, own.ratio or 1, given.rope_m_s, lower, given.lower_m_s)
    return timeline(task.alarm_s, kit.reach_s, Timed(given.rig_s), way, target)


def _pole(task: RescueTask, own: KitGiven, given: RescueGiven) -> float | None:
    if not task.remote_attach or own.pole_m is None or given.to_casualty_m is None:
        return None
    return pole_spare(given.to_casualty_m, own.pole_m)


def _unknown(
    task: RescueTask,
    kit: RescueKit,
    own: KitGiven,
    given: RescueGiven,
    ways: tuple[Direction, ...],
) -> tuple[str, ...]:
    """Codes of what would have to be known, in the order in which it is asked for."""
    raising = "raise" in ways
    least = kit.min_load_kg or any(part.min_kg for part in kit.components)
    asked = (
        ("heaviest", task.heaviest_kg is None),
        ("lightest", bool(least) and task.lightest_kg is None),
        ("height", any(_height(task, way) is None for way in ways)),
        ("rope", own.rope_m is None),
        ("ratio", raising and own.ratio is None),
        ("energy", "lower" in ways and not own.en341_class and kit.energy_j is None),
        ("pole", task.remote_attach and (own.pole_m is None or given.to_casualty_m is None)),
        ("target", task.target_minutes is None),
        ("reach", kit.reach_s is None),
        ("rig", task.drill is None and given.rig_s is None),
    )
    return tuple(code for code, missing in asked if missing)


def _findings(kit: RescueKit, own: KitGiven, given: RescueGiven) -> tuple[Flag, ...]:
    found = [
        Flag(
            "part-below-rating", {"part": part.name, "kg": part.max_kg, "rated_kg": kit.max_load_kg}
        )
        for part in kit.components
        if part.max_kg is not None and exceeds(kit.max_load_kg, part.max_kg)
    ]
    if own.rope_m is not None and "lower" in kit.functions and kit.max_height_m:
        need = _need("lower", kit.max_height_m, own, given) or 0.0
        if exceeds(need, own.rope_m):
            lengths = {"rope_m": own.rope_m, "need_m": need, "height_m": kit.max_height_m}
            found.insert(0, Flag("rope-short-of-rating", lengths))
    if own.rope_m is not None and kit.rope_m is not None and exceeds(own.rope_m, kit.rope_m):
        lengths = {"rope_m": own.rope_m, "delivered_m": kit.rope_m}
        found.append(Flag("rope-longer-than-delivered", lengths))
    energy = ENERGY_J.get(own.en341_class)
    if energy is not None and kit.energy_j is not None and exceeds(kit.energy_j, energy):
        told = {"en341_class": own.en341_class, "j": energy, "rated_j": kit.energy_j}
        found.append(Flag("energy-over-class", told))
    return tuple(found)
