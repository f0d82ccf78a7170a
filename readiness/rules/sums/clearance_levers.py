"""What would help where the clearance is short, in the order in which to try it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from readiness.rules.sums.clearance import Allowances, Clearance, Place, System, clearance
from readiness.rules.sums.clearance_lanyard import Lanyard
from readiness.rules.sums.figures import RETRACTABLE_RULES
from readiness.rules.sums.retractable import Retractable
from readiness.rules.sums.units import available, required
from readiness.rules.sums.values import Refused

SHORTEST_LANYARD_M = 1.0  # common practice: shorter ones leave no room to work
HIGHEST_ABOVE_ATTACHMENT_M = 1.0  # common practice: what somebody standing can still reach


@dataclass(frozen=True, slots=True)
class Lever:
    """`code`; the length it sets (m: anchor height or lanyard); the spare it leaves (m, negative: still
    short) and how much more that is. None where there is no fall to sum, or nothing to set."""

    code: str
    set_m: float | None = None
    spare_m: float | None = None
    gain_m: float | None = None


def levers(
    found: Clearance, system: System, place: Place, mass_kg: float, allowances: Allowances
) -> tuple[Lever, ...]:
    """Raise the anchor, shorter lanyard, retractable overhead, restraint, platform; the first three are
    summed anew, and told only where they gain something. Restraint and a platform need no clearance."""
    tried = (
        *_raised(found, system, place),
        *_shorter(found, system, place),
        *_overhead(system, place),
    )
    summed = [_weighed(found, each, mass_kg, allowances) for each in tried]
    helping = [each for each in summed if each is not None and (each.gain_m or 0) > 0]
    return (*helping, Lever("restraint"), Lever("platform"))


@dataclass(frozen=True, slots=True)
class _Trial:
    code: str
    set_m: float
    system: System
    place: Place


def _weighed(
    found: Clearance, trial: _Trial, mass_kg: float, allowances: Allowances
) -> Lever | None:
    """None where the sum refuses the change: it is not made for it, or out of reach."""
    try:
        then = clearance(trial.system, trial.place, mass_kg, allowances)
    except Refused:
        return None
    gain = round(then.spare_m - found.spare_m, 2)
    return Lever(trial.code, trial.set_m, then.spare_m, gain)


def _raised(found: Clearance, system: System, place: Place) -> Iterator[_Trial]:
    """By as much as is short, or as high as somebody can reach."""
    heights = place.heights
    highest = heights.attachment_m + HIGHEST_ABOVE_ATTACHMENT_M
    if isinstance(system, Lanyard):
        highest = min(highest, heights.attachment_m + system.length_m)
    wanted = heights.anchor_m + max(0.0, -found.spare_m)
    height = min(required(wanted), available(highest))
    if height > heights.anchor_m:
        yield _Trial("raise-anchor", height, system, replace(place, anchor_m=height))


def _shorter(found: Clearance, system: System, place: Place) -> Iterator[_Trial]:
    """A product's chart holds for its own length only: without it, by formula."""
    if not isinstance(system, Lanyard):
        return
    length = max(SHORTEST_LANYARD_M, available(system.length_m - max(0.0, -found.spare_m)))
    if length < system.length_m:
        shorter = replace(system, length_m=length, chart=None)
        yield _Trial("shorter-lanyard", length, shorter, place)


def _overhead(system: System, place: Place) -> Iterator[_Trial]:
    """A retractable of the same law's kind, at the anchor as it is or raised to the attachment."""
    if isinstance(system, Retractable):
        return
    us = isinstance(system, Lanyard) and system.rule != "en-355"
    rule = "ansi-z359-14-2021-1" if us else "en-360"
    heights = place.heights
    height = max(heights.anchor_m, required(heights.attachment_m + place.sling_m))
    max_kg = None if us else getattr(system, "max_kg", None)
    other = Retractable(rule, RETRACTABLE_RULES[rule].arrest, max_kg=max_kg)
    yield _Trial("retractable-overhead", height, other, replace(place, anchor_m=height))
