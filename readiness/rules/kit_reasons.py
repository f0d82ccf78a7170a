"""Why a kit cannot serve a task: its condition, its functions, its limits, its place."""

from __future__ import annotations

from readiness.rules.needs import exceeds
from readiness.rules.reasons import Reason
from readiness.rules.site_day import SiteDay
from readiness.rules.situation import Kit, Plan, Task

GRAVITY = 9.81
"""m/s2, the value EN 341 reckons descent energy with (from memory, to be verified)."""


def kit_reasons(kit: Kit, task: Task, plan: Plan, site: SiteDay) -> tuple[Reason, ...]:
    """All that hold, in order. The task must be fully known."""
    return (
        *site.why_unusable(kit),
        *_lacks_function(kit, task),
        *_too_short(kit, task),
        *_load_out_of_range(kit, task, _extra_kg(plan, site)),
        *_energy_exceeded(kit, task, _extra_kg(plan, site)),
        *_out_of_reach(kit, task, plan, site),
    )


def fits(kit: Kit, task: Task, plan: Plan, site: SiteDay) -> bool:
    """Whether `kit_reasons` finds none; it ends at the first."""
    return not (
        site.why_unusable(kit)
        or _out_of_reach(kit, task, plan, site)
        or _lacks_function(kit, task)
        or _too_short(kit, task)
        or _load_out_of_range(kit, task, _extra_kg(plan, site))
        or _energy_exceeded(kit, task, _extra_kg(plan, site))
    )


def _extra_kg(plan: Plan, site: SiteDay) -> float:
    return site.situation.policy.rescuer_kg if plan.accompanied else 0


def _lacks_function(kit: Kit, task: Task) -> tuple[Reason, ...]:
    both = ("lower", "raise")
    wanted = both if task.recovery == "both" else (task.recovery,)
    lacking = [name for name in wanted if name in both and name not in kit.functions]
    if task.recovery == "either" and not kit.functions & set(both):
        lacking.append("lower or raise")
    if task.remote_attach and "remote attach" not in kit.functions:
        lacking.append("remote attach")
    if not lacking:
        return ()
    return (Reason("kit-lacks-function", {"kit": kit.id, "lacking": tuple(lacking)}),)


def _heights(kit: Kit, task: Task) -> tuple[tuple[str, float | None], ...]:
    """The ways up or down this kit has to be long enough for."""
    down, up = ("lower", task.lower_m), ("raise", task.raise_m)
    raises, lowers = "raise" in kit.functions, "lower" in kit.functions
    if task.recovery == "both" and raises and lowers:
        return (down, up)
    if task.recovery == "raise" and raises:
        return (up,)
    if task.recovery == "either" and raises and not lowers:
        return (up,)
    return (down,)


def _too_short(kit: Kit, task: Task) -> tuple[Reason, ...]:
    for way, height in _heights(kit, task):
        if height is None or exceeds(height, kit.max_height_m):
            facts = {
                "kit": kit.id,
                "way": way,
                "height_m": height,
                "max_height_m": kit.max_height_m,
            }
            return (Reason("kit-too-short", facts),)
    return ()


def _load_out_of_range(kit: Kit, task: Task, extra_kg: float) -> tuple[Reason, ...]:
    load = (task.heaviest_kg or 0) + extra_kg
    lightest = task.lightest_kg
    too_light = kit.min_load_kg > 0 and (lightest is None or exceeds(kit.min_load_kg, lightest))
    if not exceeds(load, kit.max_load_kg) and not too_light:
        return ()
    facts = {
        "kit": kit.id,
        "load_kg": load,
        "rescuer_kg": extra_kg,
        "max_load_kg": kit.max_load_kg,
        "lightest_kg": lightest,
        "min_load_kg": kit.min_load_kg,
    }
    return (Reason("kit-load-out-of-range", facts),)


def _energy_exceeded(kit: Kit, task: Task, extra_kg: float) -> tuple[Reason, ...]:
    """m g h n against the descender's energy (EN 341)."""
    if kit.descent_energy_j is None or task.recovery == "raise":
        return ()
    times = len(task.exposed) if task.stranded is None else task.stranded
    energy = ((task.heaviest_kg or 0) + extra_kg) * GRAVITY * (task.lower_m or 0) * times
    if not exceeds(energy, kit.descent_energy_j):
        return ()
    facts = {
        "kit": kit.id,
        "energy_j": energy,
        "max_energy_j": kit.descent_energy_j,
        "stranded": times,
    }
    return (Reason("kit-descent-energy-exceeded", facts),)


def _out_of_reach(kit: Kit, task: Task, plan: Plan, site: SiteDay) -> tuple[Reason, ...]:
    minutes = site.minutes(kit.zone, task.zone)
    alarm = site.situation.policy.alarm_minutes
    if not kit.locked and not exceeds(minutes + alarm, plan.target_minutes):
        return ()
    facts = {
        "kit": kit.id,
        "locked": kit.locked,
        "minutes": minutes,
        "alarm_minutes": alarm,
        "target_minutes": plan.target_minutes,
    }
    return (Reason("kit-out-of-reach", facts),)
