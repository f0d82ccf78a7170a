"""Whether a kit may be used at all on a day, whatever the task."""

from __future__ import annotations

from datetime import date

from readiness.rules.reasons import Reason
from readiness.rules.situation import IN_SERVICE, Clock, Kit


def kit_usable(kit: Kit, day: date) -> bool:
    """In service, sealed, whole, and no clock of the kit or of a part passed."""
    whole = kit.condition == IN_SERVICE and kit.seal_intact and not kit.missing
    return whole and not _passed(kit, day)


def _passed(kit: Kit, day: date) -> tuple[Clock, ...]:
    return tuple(clock for clock in kit.clocks if clock.due is None or clock.due < day)


def not_usable(kit: Kit, day: date) -> tuple[Reason, ...]:
    if kit_usable(kit, day):
        return ()
    passed = _passed(kit, day)
    facts = {
        "kit": kit.id,
        "condition": kit.condition,
        "seal_intact": kit.seal_intact,
        "missing": kit.missing,
        "passed": tuple((clock.part, clock.clock, clock.due) for clock in passed),
    }
    return (Reason("kit-not-usable", facts),)
