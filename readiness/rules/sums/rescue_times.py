"""The minutes of a rescue, step by step, against the plan's target. Planning figures: no number
of minutes is safe, none stands in law, and the target is the employer's."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from readiness.rules.needs import exceeds
from readiness.rules.sums.ranges import LEAST, length, seconds
from readiness.rules.sums.rescue_haul import rope_pulled
from readiness.rules.sums.values import within

StepCode = Literal["alarm", "reach", "rig", "transfer", "bring", "drill"]
RestsOn = Literal["policy", "travel", "drill", "speed", "estimate"]

TRANSFER_LIFT_M: Final = 0.3
"""How far a casualty is lifted to take them off the line that holds them (an assumption, no
source)."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step: seconds, and what they rest on. `drilled_on` is the day of the drill, if one."""

    code: StepCode
    seconds: float
    rests_on: RestsOn
    drilled_on: date | None = None


@dataclass(frozen=True, slots=True)
class Way:
    """How the casualty goes to safety: a lift by a haul of `ratio` and then down, or the lift
    alone. `rope_m_s` is the speed at which rope is pulled in, `lower_m_s` that of the descent."""

    lift_m: float = TRANSFER_LIFT_M
    ratio: int = 1
    rope_m_s: float = 0.3
    lower_m: float = 0
    lower_m_s: float = 0.5


@dataclass(frozen=True, slots=True)
class Timeline:
    """The steps in order and the target, in minutes. `estimated` names the steps nobody timed."""

    steps: tuple[Step, ...]
    target_minutes: float

    @property
    def minutes(self) -> float:
        return sum(step.seconds for step in self.steps) / 60

    @property
    def spare_minutes(self) -> float:
        """Below 0: how far past the target."""
        return self.target_minutes - self.minutes

    @property
    def in_time(self) -> bool:
        return not exceeds(self.minutes, self.target_minutes)

    @property
    def estimated(self) -> tuple[StepCode, ...]:
        return tuple(step.code for step in self.steps if step.rests_on == "estimate")


@dataclass(frozen=True, slots=True)
class Timed:
    """A figure somebody timed in a drill, else put in as an estimate (`drilled_on` None)."""

    seconds: float
    drilled_on: date | None = None


def lift_seconds(way: Way) -> float:
    """The rope that has to be pulled at the speed at which it is pulled."""
    speed = within("rope_m_s", way.rope_m_s, LEAST, 10)
    return rope_pulled(way.ratio, way.lift_m) / speed


def lower_seconds(way: Way) -> float:
    """The way down at the device's speed."""
    return length("lower_m", way.lower_m) / within("lower_m_s", way.lower_m_s, LEAST, 10)


def rescue_seconds(alarm_s: float, reach_s: float, rig_s: float, way: Way) -> float:
    """alarm + access + rig + lift x ratio / rope speed + lower / lowering speed, in seconds."""
    fixed = seconds("alarm_s", alarm_s) + seconds("reach_s", reach_s) + seconds("rig_s", rig_s)
    return fixed + lift_seconds(way) + lower_seconds(way)


def timeline(
    alarm_s: float, reach_s: float, rig: Timed, way: Way, target_minutes: float
) -> Timeline:
    """The rescue by its steps, for a plan that has no drill as a whole yet."""
    rig_rests: RestsOn = "estimate" if rig.drilled_on is None else "drill"
    steps = (
        *_before(alarm_s, reach_s),
        Step("rig", seconds("rig_s", rig.seconds), rig_rests, rig.drilled_on),
        Step("transfer", lift_seconds(way), "speed"),
        Step("bring", lower_seconds(way), "speed"),
    )
    return Timeline(steps, _target(target_minutes))


def timeline_by_drill(
    alarm_s: float, reach_s: float, drill: Timed, target_minutes: float
) -> Timeline:
    """The same where the plan was drilled: its time runs from the kit at the place to the
    casualty at safety, so that only alarm and way come on top (as in the cover rule)."""
    whole = Step("drill", seconds("drill_s", drill.seconds), "drill", drill.drilled_on)
    return Timeline((*_before(alarm_s, reach_s), whole), _target(target_minutes))


def _before(alarm_s: float, reach_s: float) -> tuple[Step, Step]:
    return (
        Step("alarm", seconds("alarm_s", alarm_s), "policy"),
        Step("reach", seconds("reach_s", reach_s), "travel"),
    )


def _target(minutes: float) -> float:
    return within("target_minutes", minutes, LEAST, 24 * 60)
