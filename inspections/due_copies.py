"""Whether the stored copy of each governing clock is what the records give."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from inspections.conditions import clocks_of
from inspections.models import Due
from inspections.regime import regime_in_force
from inspections.rules.clocks import Clock, governing
from register.models import Item

BATCH = 400
SOURCE_LENGTH = 200  # characters that the copy keeps


@dataclass(frozen=True, slots=True)
class Disagreement:
    """An item whose copy is missing or differs: what is stored, and what the records give."""

    item: Item
    stored: Due | None
    right: Clock


def disagreements() -> Iterator[Disagreement]:
    """Every item whose copy is wrong, a batch at a time."""
    keys = list(Item.objects.order_by("pk").values_list("pk", flat=True))
    for at in range(0, len(keys), BATCH):
        rows = Item.objects.filter(pk__in=keys[at : at + BATCH])
        yield from _wrong_among(list(rows.select_related("product", "due").order_by("code")))


def _wrong_among(items: Sequence[Item]) -> Iterator[Disagreement]:
    regime = regime_in_force()
    ticking = clocks_of(items, regime)
    for item in items:
        right, stored = governing(ticking[item.pk]), getattr(item, "due", None)
        if stored is None or _said(stored) != (
            right.name,
            right.last_day,
            right.source[:SOURCE_LENGTH],
            regime.mark,
        ):
            yield Disagreement(item, stored, right)


def _said(stored: Due) -> tuple[str, object, str, str]:
    return stored.clock, stored.last_good_on, stored.source, stored.regime
