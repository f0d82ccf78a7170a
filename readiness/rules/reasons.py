"""Why a task is not covered: a code and the facts a sentence needs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

CODES = (
    "clearance-too-small",
    "no-plan",
    "plan-relies-on-emergency-services",
    "plan-for-another-method",
    "plan-review-overdue",
    "no-kit",
    "kit-not-usable",
    "kit-lacks-function",
    "kit-too-short",
    "kit-load-out-of-range",
    "kit-descent-energy-exceeded",
    "kit-out-of-reach",
    "no-rescue-anchor",
    "no-rescuer",
    "rescuer-lapsed",
    "rescuer-for-other-kit",
    "rescuer-is-exposed",
    "too-few-rescuers",
    "rescuer-out-of-reach",
    "no-first-aider",
    "drill-due",
    "drill-too-slow",
    "rescue-too-slow",
    "contested",
    "search-not-finished",
)
"""In the order in which they are told."""

HARD = frozenset(
    {
        "clearance-too-small",
        "no-plan",
        "plan-relies-on-emergency-services",
        "plan-for-another-method",
        "plan-review-overdue",
        "no-kit",
    }
)
"""Those that stand even while something about the task is not known."""

MISSING_KEYS = (
    "restraint.reach_m",
    "restraint.deflection_m",
    "restraint.edge_m",
    "heaviest_kg",
    "recovery",
    "lower_m",
    "raise_m",
    "clearance.required_m",
    "clearance.available_m",
)
"""What may be missing, in the order in which it is asked for."""

_RANK = {code: place for place, code in enumerate(CODES)}


@dataclass(frozen=True, slots=True)
class Reason:
    code: str
    facts: Mapping[str, object] = field(default_factory=dict, hash=False)


def in_order(reasons: Iterable[Reason]) -> tuple[Reason, ...]:
    return tuple(sorted(reasons, key=lambda reason: _RANK[reason.code]))
