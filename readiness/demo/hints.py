"""What somebody new to the demo may try, with the real tags."""

from __future__ import annotations

from readiness.demo.kits import ON_ITS_WAY
from register.models import Item, KitPart
from register.rules.conditions import Condition

BREAKS, ROLE = "RK-01", "Pulley"  # the silo task at Corrick Quay hangs on this kit


def part_to_fail() -> Item | None:
    """The part whose fail uncovers a covered task; None once somebody has tried it."""
    part = KitPart.objects.filter(kit__name=BREAKS, role=ROLE).select_related("item").first()
    item = part.item if part else None
    return item if item and item.condition == Condition.IN_SERVICE else None


def kit_to_scan_in() -> Item | None:
    """The kit on its way that ends the contest at the viaduct; None once it has arrived."""
    return Item.objects.filter(as_kit__name=ON_ITS_WAY, custody="in-transit").first()
