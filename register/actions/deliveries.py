"""Goods in: common particulars once, a serial each; and acceptance into service."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db import transaction
from django.db.models import Model
from django.utils.translation import gettext as _

from register.actions.locking import locked_items, turn_from
from register.actions.marking import fresh_codes, tag_of
from register.models import Delivery, Item, Movement, Product, Site, Stamp, Tag, record
from register.refusal import Refusal
from register.rules.conditions import Condition
from register.rules.lifespan import DateSpan
from register.rules.serials import serial_key

Touched = dict[Model, Mapping[str, object]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece of a delivery, or one row of a workbook: what is its own and not its product's."""

    serial: str
    size: str = ""
    batch: str = ""
    made: DateSpan
    use_class: str = "normal"
    purchased_on: date | None = None
    first_used_on: date | None = None
    owner: str = ""
    hire_end_on: date | None = None
    remarks: str = ""


@transaction.atomic
def receive_delivery(delivery: Delivery, pieces: Sequence[Piece], *, stamp: Stamp) -> list[Item]:
    """Take a delivery in: every piece is received, none is accepted, each has its tag code.

    ``delivery`` is not yet saved. Refuses a piece without a made date (it cannot be accepted),
    the same serial twice, and a serial that is registered already.
    """
    if not pieces:
        raise Refusal("nothing-delivered", _("Enter at least one serial."))
    _refuse_undated(pieces)
    refuse_known_serials(delivery.product, [piece.serial for piece in pieces])
    delivery.full_clean()
    delivery.save()
    items = new_items(delivery.product, delivery.site, pieces, Condition.RECEIVED, stamp)
    for item in items:
        item.delivery = delivery
    Item.objects.bulk_update(items, ["delivery"], batch_size=200)
    note = delivery.delivery_note
    _moved(items, Movement.Kind.RECEIVED, delivery.site, stamp, reference=note)
    facts: dict[str, object] = {
        "to": "received",
        "delivery": note,
        "product": str(items[0].product),
    }
    touched: Touched = {item: {**facts, "serial": item.serial, "code": item.code} for item in items}
    record("receive", touched, stamp=stamp, sites=[delivery.site_id])
    return items


def _refuse_undated(pieces: Sequence[Piece]) -> None:
    for piece in pieces:
        if piece.made.first is None:
            raise Refusal(
                "made-date-missing",
                _("Serial %(serial)s: without a date of manufacture it cannot be accepted.")
                % {"serial": piece.serial},
            )


def refuse_known_serials(product: Product, serials: Sequence[str]) -> None:
    """A serial twice, here or in the register, stops the act: stop and look at the item."""
    seen: dict[str, str] = {}
    for serial in serials:
        key = serial_key(serial)
        if not key:
            raise Refusal("serial-empty", _("A serial is empty: enter it exactly as marked."))
        if key in seen:
            raise Refusal(
                "serial-twice",
                _("Serial %(serial)s is entered twice. Look at both labels.") % {"serial": serial},
            )
        seen[key] = serial
    known = product.items.filter(serial_key__in=seen).order_by("code").first()
    if known:
        raise Refusal(
            "serial-known",
            _(
                "Serial %(serial)s of %(product)s is registered already as %(known)s. Look at both"
                " labels: one of them is misread."
            )
            % {"serial": known.serial, "product": product, "known": known.shown_code},
        )


def new_items(
    product: Product, site: Site, pieces: Sequence[Piece], condition: Condition, stamp: Stamp
) -> list[Item]:
    """Rows and tags for new pieces, saved in bulk; the caller records the act."""
    codes = fresh_codes(len(pieces))
    common = {"product": product, "site": site, "condition": condition}
    items = [
        Item(code=code, **common, **_columns_of(piece))
        for code, piece in zip(codes, pieces, strict=True)
    ]
    Item.objects.bulk_create(items, batch_size=200)
    Tag.objects.bulk_create([tag_of(item, stamp) for item in items], batch_size=200)
    return items


def _columns_of(piece: Piece) -> dict[str, Any]:
    """The columns of a new item that are the piece's own."""
    return {
        "serial": piece.serial,
        "serial_key": serial_key(piece.serial),
        "batch": piece.batch,
        "size": piece.size,
        "made_first_on": piece.made.first,
        "made_last_on": piece.made.last,
        "made_precision": piece.made.precision,
        "purchased_on": piece.purchased_on,
        "first_used_on": piece.first_used_on,
        "owner": piece.owner,
        "hire_end_on": piece.hire_end_on,
        "remarks": piece.remarks,
        "use_class": piece.use_class,
    }


@transaction.atomic
def accept(items: Sequence[Item], *, on: date, stamp: Stamp) -> list[Item]:
    """Received pieces go into service: labels checked, instructions there, declaration on file.

    The caller (inspections) asks first whether an examination is due before first use.
    """
    locked = locked_items(items)
    touched: Touched = {}
    for item in locked:
        touched[item] = turn_from(item, Condition.RECEIVED, Condition.IN_SERVICE, stamp.at)
        item.accepted_on = on
    changed = ["condition", "accepted_on", "quarantine_reason", "quarantined_at", "out_since_at"]
    Item.objects.bulk_update(locked, changed, batch_size=200)
    record("accept", touched, stamp=stamp, sites={item.site_id for item in locked})
    return locked


def _moved(
    items: Sequence[Item], kind: Movement.Kind, site: Site, stamp: Stamp, *, reference: str
) -> None:
    Movement.objects.bulk_create(
        [
            Movement(
                item=item, kind=kind, at=stamp.at, by=stamp.by, to_site=site, reference=reference
            )
            for item in items
        ],
        batch_size=200,
    )
