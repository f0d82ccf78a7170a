"""A drill uses a kit up: it covers nobody until it has been checked and sealed again."""

from __future__ import annotations

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from inspections.conditions import standing_inspections
from inspections.rules.kinds import may_release
from register import clock
from register.actions.conditions import quarantine
from register.actions.kits import unseal_kit
from register.actions.locking import locked_item, locked_kit
from register.models import Item, Kit, SealEvent, Stamp

REASON = "used-in-drill"


def take_out_after_drill(kit: Kit, *, drilled_on: date, stamp: Stamp) -> bool:
    """Open the seal and quarantine the bag, inside the drill's own transaction; whether it did.

    A drill that is told late takes nothing out where the kit was checked and sealed on a later day.
    """
    kit = locked_kit(kit)
    bag = locked_item(kit.item)
    if _put_right_since(kit, bag, drilled_on):
        return False
    began = datetime.combine(drilled_on, time(0), tzinfo=ZoneInfo(bag.site.time_zone))
    earlier = began if drilled_on < clock.day_at(bag.site, stamp.at) else None
    opened = SealEvent.Kind.OPENED
    unseal_kit(kit, kind=opened, reason="used in a drill", stamp=stamp.again())
    quarantine(bag, reason=REASON, happened_at=earlier, stamp=stamp.again())
    return True


def _put_right_since(kit: Kit, bag: Item, drilled_on: date) -> bool:
    """Checked by somebody whose look counts, and sealed, both on a later day than the drill."""
    is_sealed = kit.seal_intact and kit.sealed_on is not None and kit.sealed_on > drilled_on
    return is_sealed and any(
        one.counts
        and one.verdict == "pass"
        and one.performed_on > drilled_on
        and may_release(REASON, one.kind)
        for one in standing_inspections([bag])[bag.pk]
    )
