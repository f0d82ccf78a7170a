"""What somebody read on the maker's label takes the place of what was on record."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from register.actions.locking import locked_item
from register.models import Item, Product, Stamp, record
from register.refusal import Refusal
from register.rules.conditions import Condition
from register.rules.lifespan import DateSpan
from register.rules.serials import serial_key

IDENTITY = ("serial", "batch", "made_first_on", "made_last_on", "made_precision")


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What the label says; '' and None where it cannot be read or says nothing of it."""

    serial: str = ""
    batch: str = ""
    made: DateSpan | None = None

    @property
    def says_nothing(self) -> bool:
        return not (self.serial.strip() or self.batch.strip() or self.made)


@transaction.atomic
def correct_label(item: Item, *, label: Label, how: str, stamp: Stamp) -> Item:
    """Put what was read on record; the ledger keeps what stood there before, and how it was read."""
    Product.objects.select_for_update(no_key=True).get(pk=item.product_id)  # a notice waits for it
    item = locked_item(item)
    _refuse_unsound(item, label, how)
    before = _identity(item)
    item.serial = label.serial.strip() or item.serial
    item.serial_key = serial_key(item.serial)
    item.batch = label.batch.strip() or item.batch
    if label.made:
        made = label.made
        item.made_first_on, item.made_last_on = made.first, made.last
        item.made_precision = made.precision
    item.save(update_fields=[*IDENTITY, "serial_key"])
    facts = {"before": before, "read": _identity(item)}
    record("read-label", {item: facts}, stamp=stamp, notes={"how": how}, sites=[item.site_id])
    return item


def _identity(item: Item) -> list[str]:
    return [str(getattr(item, name) or "") for name in IDENTITY]


def _refuse_unsound(item: Item, label: Label, how: str) -> None:
    if item.condition == Condition.DESTROYED:
        raise Refusal(
            "destroyed",
            _("%(item)s was destroyed: what label is this?") % {"item": item.shown_code},
        )
    if label.says_nothing:
        raise Refusal("nothing-read", _("Enter what the label says: serial, batch or made date."))
    if not how.strip():
        raise Refusal(
            "how-missing", _("Say who read the label, and how: in the hand, a photograph.")
        )
    _refuse_serial(item, label)
    made, used = label.made, item.first_used_on
    if made and made.first and used and made.first > used:
        raise Refusal(
            "made-after-use",
            _("%(item)s was first used before that: read the made date again.")
            % {"item": item.shown_code},
        )


def _refuse_serial(item: Item, label: Label) -> None:
    key = serial_key(label.serial)
    if label.serial.strip() and not key:
        raise Refusal("serial-empty", _("That serial has no letter and no digit: read it again."))
    others = Item.objects.filter(product=item.product_id, serial_key=key).exclude(pk=item.pk)
    if key and (other := others.first()):
        raise Refusal(
            "serial-known",
            _(
                "Serial %(serial)s of this product is on record as %(other)s. Look at both labels:"
                " one of them is misread."
            )
            % {"serial": label.serial, "other": other.shown_code},
        )
