"""Taking an item on that no record names: it begins in quarantine, whatever it looks like."""

from __future__ import annotations

from django.db import transaction

from register.actions.deliveries import refuse_known_serials
from register.actions.marking import fresh_codes, tag_of
from register.models import Item, Product, Site, Stamp, record
from register.rules.conditions import NEW, Condition
from register.rules.serials import serial_key
from register.rules.tags import shown

AGE_UNKNOWN = "age-not-established"


@transaction.atomic
def take_on_quarantined(
    product: Product, site: Site, *, serial: str, remarks: str = "", stamp: Stamp
) -> Item:
    """Found in use and in no record: from now on it has a tag code, and it is out.

    Where no serial can be read, the record says so beside the new code. Nobody knows how old it is
    or where it has been: only its papers and a competent person bring it into service.
    """
    if serial.strip():
        refuse_known_serials(product, [serial])
    (code,) = fresh_codes(1)
    marked = serial.strip() or f"not read, {shown(code)}"
    item = Item(code=code, product=product, site=site, serial=marked, remarks=remarks[:200])
    item.serial_key = serial_key(marked)
    item.condition, item.quarantine_reason = Condition.QUARANTINED, AGE_UNKNOWN
    item.quarantined_at, item.quarantined_by, item.out_since_at = stamp.at, stamp.by, stamp.at
    item.full_clean()
    item.save()
    tag_of(item, stamp).save()
    facts = {"from": str(NEW), "to": str(item.condition), "reason": AGE_UNKNOWN}
    facts |= {"product": str(product), "serial": marked, "code": code}
    record("take-on", {item: facts}, stamp=stamp, sites=[site])
    return item
