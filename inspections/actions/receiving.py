"""Goods in, with every safety notice in force asked at once: what one means is traced on receipt."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction

from inspections.actions.notices import match_items
from register.actions import deliveries, goods_in
from register.actions.deliveries import Piece
from register.models import Delivery, Item, Product, Stamp


@transaction.atomic
def receive_delivery(delivery: Delivery, pieces: Sequence[Piece], *, stamp: Stamp) -> list[Item]:
    """Take a delivery in; what a notice means stands on its list before anything is accepted."""
    return _matched(deliveries.receive_delivery(delivery, pieces, stamp=stamp), stamp)


@transaction.atomic
def receive_new_product(
    product: Product, delivery: Delivery, pieces: Sequence[Piece], *, stamp: Stamp
) -> list[Item]:
    """The same of a product not known before: both are entered, or neither."""
    return _matched(goods_in.receive_new_product(product, delivery, pieces, stamp=stamp), stamp)


def _matched(items: list[Item], stamp: Stamp) -> list[Item]:
    keys = [item.pk for item in items]
    match_items(list(Item.objects.filter(pk__in=keys).select_related("product")), stamp=stamp)
    return items
