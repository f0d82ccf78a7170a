"""What the register holds, as a plan needs it: four queries, however many items there are."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import cast

from django.db.models import Max

from inspections.models import BroughtIn, Inspection
from register.intake.keys import ItemKey, ProductKey, name_key, product_key, tag_key
from register.intake.known import Known, known_from
from register.intake.rows import Particulars
from register.models import Item, Product, Tag
from register.rules.lifespan import DateSpan, Precision

_COLUMNS = (
    *("pk", "code", "product__maker", "product__designation", "product__equipment_class"),
    *("serial_key", "size", "batch", "site__code", "made_first_on", "made_last_on"),
    *("made_precision", "first_used_on", "purchased_on"),
)


def known_now() -> Known:
    """Every item by its key, every mark ever given, and the class of every product.

    An item's mark is the one it had in its workbook, else the tag we gave it: a list of ours that
    comes back differs in nothing.
    """
    marks = dict(BroughtIn.objects.exclude(old_mark="").values_list("item_id", "old_mark"))
    inspected = dict(
        Inspection.objects.standing()
        .order_by()
        .values_list("item_id")
        .annotate(Max("performed_on"))
    )
    keys: dict[int, ItemKey] = {}
    items = list(_items(marks, inspected, keys))
    tags = {
        tag_key(code): keys[item]
        for code, item in Tag.objects.values_list("code", "item_id").iterator()
        if item in keys
    }
    return known_from(items, tags, _classes())


def _items(
    marks: dict[int, str], inspected: dict[int, date], keys: dict[int, ItemKey]
) -> Iterator[tuple[ItemKey, Particulars]]:
    for row in Item.objects.order_by().values_list(*_COLUMNS).iterator(chunk_size=5000):
        pk, code, maker, product, slug, serial, size, batch, site, first, last = row[:11]
        precision, first_used, purchased = row[11:]
        key = keys[pk] = ItemKey(name_key(maker), name_key(product), serial)
        made = DateSpan(first, last, cast("Precision", precision))
        mark = marks.get(pk) or code
        seen = inspected.get(pk)
        yield key, Particulars(mark, slug, size, batch, site, made, first_used, purchased, seen)


def _classes() -> dict[ProductKey, str]:
    """The class of each product in the catalogue, also of those without items."""
    rows = Product.objects.values_list("maker", "designation", "equipment_class")
    return {product_key(maker, name): slug for maker, name, slug in rows}
