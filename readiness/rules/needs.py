"""Whether a task needs rescue cover at all, and whether enough is known to judge it."""

from __future__ import annotations

from readiness.rules.reasons import Reason
from readiness.rules.situation import Policy, Restraint, Task

_HAIR = 1e-9
"""Metres and kilograms come as decimals; their binary rounding is never a finding."""


def exceeds(amount: float, limit: float) -> bool:
    return amount > limit and amount > limit + _HAIR * max(1.0, abs(limit))


def needs_cover(task: Task, policy: Policy) -> bool:
    """Not for collective protection nor for proven restraint; in doubt, yes."""
    if task.system == "collective":
        return False
    if task.system != "restraint":
        return True
    return unknown_restraint(task) != () or restraint_shortfall(task, policy) is not None


def unknown_restraint(task: Task) -> tuple[str, ...]:
    """What must be known before restraint can be believed or not."""
    if task.system != "restraint":
        return ()
    restraint = task.restraint or Restraint()
    values = (
        ("restraint.reach_m", restraint.reach_m),
        ("restraint.deflection_m", restraint.deflection_m),
        ("restraint.edge_m", restraint.edge_m),
    )
    if task.restraint is None:
        return ("restraint.edge_m",)
    return tuple(key for key, value in values if value is None)


def restraint_shortfall(task: Task, policy: Policy) -> Reason | None:
    """Why what is called restraint is treated as arrest, if it is."""
    restraint = task.restraint
    if task.system != "restraint" or restraint is None:
        return None
    if restraint.reach_m is None or restraint.deflection_m is None or restraint.edge_m is None:
        return None
    total = restraint.reach_m + restraint.deflection_m + policy.restraint_allowance_m
    if not exceeds(total, restraint.edge_m):
        return None
    facts = {
        "reach_m": restraint.reach_m,
        "deflection_m": restraint.deflection_m,
        "allowance_m": policy.restraint_allowance_m,
        "total_m": round(total, 3),
        "edge_m": restraint.edge_m,
    }
    return Reason("restraint-not-proven", facts)


def missing_facts(task: Task) -> tuple[str, ...]:
    """Keys of what must be known before the task can be judged, in order."""
    doubt = unknown_restraint(task)
    if doubt:
        return doubt
    values: tuple[tuple[str, object], ...] = (
        ("heaviest_kg", task.heaviest_kg),
        ("recovery", task.recovery),
        ("lower_m", task.lower_m),
        ("raise_m", task.raise_m if task.recovery in {"raise", "both"} else 0),
        ("clearance.required_m", task.clearance.required_m),
        ("clearance.available_m", task.clearance.available_m),
    )
    return tuple(key for key, value in values if value is None)
