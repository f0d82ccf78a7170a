"""What a back-up is asked of items: whether each of a sample may be used, and why not."""

from __future__ import annotations

from datetime import datetime

from inspections.conditions import verdict_at
from register.backup.proof import enter_sample, spread
from register.models import Item


def verdicts(at: datetime) -> dict[str, str]:
    """The verdict of each item of the sample at the moment, by its tag."""
    keys = spread(list(Item.objects.order_by("pk").values_list("pk", flat=True)))
    items = Item.objects.with_product().filter(pk__in=keys).order_by("pk")
    return {item.code: str(verdict_at(item, at)) for item in items}


enter_sample("verdicts", verdicts)
