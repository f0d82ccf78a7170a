"""Goods in beyond the delivery itself: a new product, a declaration that follows, a rejection."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from register import clock
from register.actions.deliveries import Piece, Touched, receive_delivery
from register.actions.holding import refuse_if_held
from register.actions.locking import locked_items, turn_from
from register.models import Delivery, Document, Item, Movement, Product, Stamp, record
from register.refusal import Refusal
from register.rules.conditions import Condition


@transaction.atomic
def add_product(product: Product, *, stamp: Stamp) -> Product:
    """Enter a product that was never received before; ``product`` is not yet saved."""
    known = Product.objects.filter(
        maker__iexact=product.maker, designation__iexact=product.designation
    ).first()
    if known:
        raise Refusal(
            "product-known",
            _("%(known)s is entered already: choose it from the list.") % {"known": known},
        )
    product.full_clean()
    product.save()
    facts = {"maker": product.maker, "model": product.designation, "class": product.equipment_class}
    record("add-product", {product: facts}, stamp=stamp)
    return product


@transaction.atomic
def receive_new_product(
    product: Product, delivery: Delivery, pieces: Sequence[Piece], *, stamp: Stamp
) -> list[Item]:
    """A delivery of a product not known before: both are entered, or neither."""
    delivery.product = add_product(product, stamp=stamp.again())
    return receive_delivery(delivery, pieces, stamp=stamp)


@transaction.atomic
def declare(
    delivery: Delivery, *, document: Document, declaration_on: date, stamp: Stamp
) -> Delivery:
    """The declaration of conformity has come: it holds for every piece of the delivery."""
    delivery = Delivery.objects.select_for_update().get(pk=delivery.pk)
    if declaration_on > clock.day_at(delivery.site, stamp.at):
        raise Refusal("in-the-future", _("The day of the declaration lies in the future."))
    delivery.declaration, delivery.declaration_on = document, declaration_on
    delivery.save(update_fields=["declaration", "declaration_on"])
    facts = {"sha256": document.sha256, "declaration_on": declaration_on.isoformat()}
    record("declare", {delivery: facts}, stamp=stamp, sites=[delivery.site_id])
    return delivery


@transaction.atomic
def reject(items: Sequence[Item], *, because: str, stamp: Stamp) -> list[Item]:
    """Received pieces go back to the supplier; their tags are never given to others."""
    if not items:
        raise Refusal("nothing-chosen", _("Choose the pieces that go back."))
    if not because.strip():
        raise Refusal("reason-missing", _("Say why they are rejected."))
    locked = locked_items(items)
    touched: Touched = {}
    for item in locked:
        refuse_if_held(item)
        turned = turn_from(item, Condition.RECEIVED, Condition.LEFT, stamp.at)
        touched[item] = {**turned, "because": because}
        item.custody = "owner"
    Item.objects.bulk_update(locked, ["condition", "custody"], batch_size=200)
    common = {"kind": Movement.Kind.LEFT, "at": stamp.at, "by": stamp.by}
    Movement.objects.bulk_create(
        Movement(item=item, from_site_id=item.site_id, reference=because[:120], **common)
        for item in locked
    )
    record("reject", touched, stamp=stamp, sites={item.site_id for item in locked})
    return locked
