"""Changes of condition: quarantine by anyone at once, everything else with its evidence."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext as _

from register.actions.holding import refuse_if_held
from register.actions.locking import locked_item, turn, turn_from
from register.models import Item, Kit, Movement, Person, Site, Stamp, Zone, record
from register.refusal import Refusal
from register.rules.conditions import QUARANTINE_REASONS, Condition

CONDITION_FIELDS = [
    *("condition", "quarantine_reason", "quarantined_also_for"),
    *("quarantined_at", "quarantined_by", "out_since_at"),
]
FOUND_FIELDS = ["custody", "site", "bound_for", "zone", "place", "holder", "due_back_on"]
STAYS_OUT = frozenset({Condition.WITHDRAWN, Condition.LEFT})


@transaction.atomic
def quarantine(
    item: Item,
    *,
    reason: str,
    note: str = "",
    happened_at: datetime | None = None,
    stamp: Stamp,
) -> Item:
    """Stop the use of the item at once. Anyone may, and an item already out stays out.

    A second reason stands beside the first, and what was found sound before it proves nothing
    any more. Nothing is refused but an item that no longer exists. ``happened_at`` is when what
    puts it out came to pass, if that was earlier: it is out since then.
    """
    if reason not in QUARANTINE_REASONS:
        raise Refusal("reason-unknown", _("Choose why it goes into quarantine."))
    item = locked_item(item)
    facts = _stopped(item, reason, stamp)
    if happened_at:
        item.out_since_at = min(item.out_since_at or happened_at, happened_at)
        facts["happened_at"] = happened_at.isoformat()
    item.save(update_fields=CONDITION_FIELDS)
    notes = {"note": note}
    record("quarantine", {item: facts}, stamp=stamp, notes=notes, sites=sites_relying_on(item))
    return item


def _stopped(item: Item, reason: str, stamp: Stamp) -> dict[str, object]:
    """Put the locked item into quarantine, or keep it out; the facts for the ledger."""
    if item.condition in STAYS_OUT:
        return {"to": item.condition, "again": reason}
    if item.condition == Condition.QUARANTINED:
        facts: dict[str, object] = {"to": item.condition, "again": reason}
        if reason not in (item.quarantine_reason, *item.quarantined_also_for):
            item.quarantined_also_for = [*item.quarantined_also_for, reason]
        item.quarantined_at = max(item.quarantined_at or stamp.at, stamp.at)
        return facts
    facts = {**turn(item, Condition.QUARANTINED, stamp.at), "reason": reason}
    item.quarantine_reason = reason
    item.quarantined_at, item.quarantined_by = stamp.at, stamp.by
    return facts


@transaction.atomic
def release(item: Item, *, on: date, evidence: str, stamp: Stamp) -> Item:
    """Quarantined to in service. The caller (inspections) has found the pass that allows it."""
    item = locked_item(item)
    facts = turn_from(item, Condition.QUARANTINED, Condition.IN_SERVICE, stamp.at)
    facts["evidence"] = evidence
    item.accepted_on = item.accepted_on or on
    if item.custody == "cage":
        item.custody = "stores"
    item.save(update_fields=[*CONDITION_FIELDS, "accepted_on", "custody"])
    record("release", {item: facts}, stamp=stamp, sites=sites_relying_on(item))
    return item


@transaction.atomic
def withdraw(item: Item, *, ground: str, note: str = "", stamp: Stamp) -> Item:
    """Take the item out for good; it never returns to service."""
    item = locked_item(item)
    if not ground.strip():
        raise Refusal(
            "ground-missing", _("Say why %(item)s is withdrawn.") % {"item": item.shown_code}
        )
    facts = {**turn(item, Condition.WITHDRAWN, stamp.at), "ground": ground}
    item.save(update_fields=CONDITION_FIELDS)
    notes = {"note": note}
    record("withdraw", {item: facts}, stamp=stamp, notes=notes, sites=sites_relying_on(item))
    return item


@transaction.atomic
def destroy(item: Item, *, method: str, witness: Person, stamp: Stamp) -> Item:
    """Destroy a withdrawn item before a witness who is somebody else; the record stays."""
    item = locked_item(item)
    if stamp.by and stamp.by.person_id == witness.pk:
        raise Refusal(
            "witness-is-destroyer", _("The witness must be somebody other than who destroys it.")
        )
    if not method.strip():
        raise Refusal(
            "method-missing", _("Say how it was destroyed, such as: webbing cut through.")
        )
    refuse_if_held(item)
    facts = {**turn(item, Condition.DESTROYED, stamp.at), "method": method, "witness": witness.pk}
    item.custody, item.holder, item.due_back_on = "destroyed", None, None
    item.save(update_fields=[*CONDITION_FIELDS, "custody", "holder", "due_back_on"])
    record("destroy", {item: facts}, stamp=stamp, sites=sites_relying_on(item))
    return item


@transaction.atomic
def report_lost(item: Item, *, search_note: str, stamp: Stamp) -> Item:
    """Not located after a search. The clocks run on and it is no longer stock."""
    item = locked_item(item)
    if not search_note.strip():
        raise Refusal("search-note-missing", _("Say where you have searched and whom you asked."))
    if item.condition == Condition.WITHDRAWN:  # found again, it must still be withdrawn
        facts: dict[str, object] = {"to": item.condition}
    else:
        facts = turn(item, Condition.NOT_LOCATED, stamp.at)
    facts["last_holder"] = item.holder_id
    item.custody = "not-located"
    item.save(update_fields=[*CONDITION_FIELDS, "custody"])
    record(
        "report-lost",
        {item: facts},
        stamp=stamp,
        notes={"search": search_note},
        sites=sites_relying_on(item),
    )
    return item


@transaction.atomic
def report_found(item: Item, *, site: Site, where: str, stamp: Stamp) -> Item:
    """Found again, by anyone: into quarantine, because nobody knows what it has been through."""
    item = locked_item(item)
    before = item.site_id
    if item.condition == Condition.WITHDRAWN and item.custody == "not-located":
        facts: dict[str, object] = {"to": item.condition}
    elif item.condition == Condition.QUARANTINED and item.custody == "not-located":
        facts = _stopped(item, "found-after-loss", stamp)
    else:
        facts = turn_from(item, Condition.NOT_LOCATED, Condition.QUARANTINED, stamp.at)
        facts["reason"] = "found-after-loss"
        item.quarantine_reason = "found-after-loss"
        item.quarantined_at, item.quarantined_by = stamp.at, stamp.by
    item.custody, item.site, item.holder, item.due_back_on = "cage", site, None, None
    item.bound_for, item.zone, item.place = None, None, ""
    item.save(update_fields=[*CONDITION_FIELDS, *FOUND_FIELDS])
    bring_contents(item, site)
    sites = {before, *sites_relying_on(item)}
    record("report-found", {item: facts}, stamp=stamp, notes={"where": where}, sites=sites)
    return item


@transaction.atomic
def send_away(item: Item, *, to: str, reference: str, stamp: Stamp) -> Item:
    """To the maker or an agent: not available until it is back and accepted."""
    item = locked_item(item)
    if not to.strip():
        raise Refusal("recipient-missing", _("Say to whom it is sent."))
    refuse_if_held(item)
    facts = {**turn(item, Condition.AWAY, stamp.at), "recipient": to, "reference": reference}
    item.custody, item.holder, item.due_back_on = "maker", None, None
    item.save(update_fields=[*CONDITION_FIELDS, "custody", "holder", "due_back_on"])
    _movement(item, Movement.Kind.SENT, stamp, f"{to} {reference}")
    record("send-away", {item: facts}, stamp=stamp, sites=sites_relying_on(item))
    return item


@transaction.atomic
def take_back_from_service(item: Item, *, certificate: str, stamp: Stamp) -> Item:
    """Back from the maker: into quarantine until a competent person has accepted it."""
    item = locked_item(item)
    facts = turn_from(item, Condition.AWAY, Condition.QUARANTINED, stamp.at)
    facts["reason"] = "back-from-service"
    item.quarantine_reason = "back-from-service"
    item.quarantined_at, item.quarantined_by = stamp.at, stamp.by
    item.custody = "cage"
    item.save(update_fields=[*CONDITION_FIELDS, "custody"])
    _movement(item, Movement.Kind.BACK, stamp, certificate)
    record(
        "take-back-from-service",
        {item: {**facts, "certificate": certificate}},
        stamp=stamp,
        sites=sites_relying_on(item),
    )
    return item


@transaction.atomic
def let_go(item: Item, *, recipient: str, stamp: Stamp) -> Item:
    """The item leaves the undertaking; a copy of its last inspection goes with it."""
    item = locked_item(item)
    if not recipient.strip():
        raise Refusal("recipient-missing", _("Say who takes it over."))
    refuse_if_held(item)
    facts = {**turn(item, Condition.LEFT, stamp.at), "recipient": recipient}
    item.custody, item.holder, item.due_back_on = "owner", None, None
    item.save(update_fields=[*CONDITION_FIELDS, "custody", "holder", "due_back_on"])
    _movement(item, Movement.Kind.LEFT, stamp, recipient)
    record("let-go", {item: facts}, stamp=stamp, sites=sites_relying_on(item))
    return item


def sites_relying_on(item: Item) -> set[int]:
    """The sites whose cover may change with this item: its own, and its kit's."""
    kits = Kit.objects.filter(parts__item=item).values_list("item__site_id", flat=True)
    return {item.site_id, *kits}


def bring_contents(bag: Item, at: Site) -> None:
    """What is really in the kit comes along; a part lost or on issue stays where it is."""
    Item.objects.filter(part_of__kit__item=bag, custody="kit").update(site=at)


def zone_at(site: Site, zone: Zone | None) -> Zone | None:
    """Refuse a zone of another site."""
    if zone and zone.site_id != site.pk:
        raise Refusal(
            "zone-of-another-site",
            _("%(zone)s is not a zone of %(site)s.") % {"zone": zone, "site": site},
        )
    return zone


def _movement(item: Item, kind: Movement.Kind, stamp: Stamp, reference: str) -> None:
    Movement.objects.create(
        item=item,
        kind=kind,
        at=stamp.at,
        by=stamp.by,
        from_site_id=item.site_id,
        reference=reference[:120],
    )
