"""Rescue kits: made up of parts, closed by a numbered seal, opened with a reason."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.db import transaction
from django.db.models import Model
from django.utils.translation import gettext as _

from register.actions.locking import locked_item, locked_kit
from register.models import Item, Kit, KitPart, Movement, SealEvent, Stamp, record
from register.refusal import Refusal

Kind = SealEvent.Kind
Touched = dict[Model, Mapping[str, object]]


@transaction.atomic
def make_kit(item: Item, *, name: str, roles: list[str], stamp: Stamp) -> Kit:
    """Turn a bag (an item of class 'rescue kit') into a kit with these required parts, empty yet."""
    item = locked_item(item)
    if not item.product.kind.is_rescue_kit:
        raise Refusal(
            "not-a-kit-bag",
            _("%(item)s is not of the class rescue kit.") % {"item": item.shown_code},
        )
    if not roles:
        raise Refusal("no-parts", _("A kit needs at least one required part on its contents card."))
    kit = Kit(item=item, name=name)
    kit.full_clean()
    kit.save()
    KitPart.objects.bulk_create(
        [KitPart(kit=kit, role=role, position=at) for at, role in enumerate(roles)]
    )
    touched: Touched = {kit: {"name": name, "parts": roles}, item: {"kit": name}}
    record("make-kit", touched, stamp=stamp, sites=[item.site_id])
    return kit


@transaction.atomic
def fill_part(kit: Kit, *, role: str, item: Item, stamp: Stamp) -> KitPart:
    """Put an item into the kit as this part. The seal counts as open until it is closed anew."""
    kit, item = locked_kit(kit), locked_item(item)
    part = kit.parts.filter(role=role).first()
    if part is None:
        raise Refusal(
            "no-such-part",
            _("Kit %(kit)s has no part called “%(role)s”.") % {"kit": kit, "role": role},
        )
    if part.item_id and part.item_id != item.pk:
        raise Refusal(
            "part-filled",
            _("“%(role)s” of kit %(kit)s is filled: take %(item)s out first.")
            % {"role": role, "kit": kit, "item": part.item},
        )
    _refuse_if_elsewhere(kit, item)
    _refuse_second_place(part, item)
    before = item.site_id
    part.item = item
    part.save(update_fields=["item"])
    item.custody, item.kit, item.site_id, item.holder = "kit", kit, kit.item.site_id, None
    item.save(update_fields=["custody", "kit", "site", "holder"])
    Movement.objects.create(
        item=item, kind=Movement.Kind.INTO_KIT, at=stamp.at, by=stamp.by, reference=kit.name
    )
    _opened(kit)
    facts = {"role": role, "code": item.code, "version": kit.contents_version}
    touched: Touched = {kit: facts, item: {"kit": kit.name}}
    record("fill-part", touched, stamp=stamp, sites=[before, kit.site_id])
    return part


@transaction.atomic
def take_out_part(kit: Kit, *, role: str, stamp: Stamp) -> Item:
    """Take the item of this part out of the kit; a required part is then missing."""
    kit = locked_kit(kit)
    part = kit.parts.filter(role=role).select_related("item").first()
    if part is None or part.item is None:
        raise Refusal(
            "part-empty", _("Kit %(kit)s holds nothing as “%(role)s”.") % {"kit": kit, "role": role}
        )
    item = locked_item(part.item)
    part.item = None
    part.save(update_fields=["item"])
    if item.custody == "kit":  # else it is on issue, lost or away, and stays so
        item.custody = "stores"
    item.kit = None
    item.save(update_fields=["custody", "kit"])
    Movement.objects.create(
        item=item, kind=Movement.Kind.OUT_OF_KIT, at=stamp.at, by=stamp.by, reference=kit.name
    )
    _opened(kit)
    facts = {"role": role, "code": item.code, "version": kit.contents_version}
    touched: Touched = {kit: facts, item: {"kit": None}}
    record("take-out-part", touched, stamp=stamp, sites=[item.site_id, kit.site_id])
    return item


@transaction.atomic
def seal_kit(kit: Kit, *, number: str, on: date, stamp: Stamp) -> Kit:
    """Close the kit with a new seal; refuses while a required part is missing."""
    kit = locked_kit(kit)
    missing = list(kit.parts.filter(required=True, item=None).values_list("role", flat=True))
    if missing:
        raise Refusal(
            "part-missing",
            _("Kit %(kit)s lacks %(missing)s. Fill it first.")
            % {"kit": kit, "missing": ", ".join(missing)},
        )
    if not number.strip():
        raise Refusal("seal-number-missing", _("Enter the number on the new seal."))
    if SealEvent.objects.filter(kind=Kind.CLOSED, number=number).exists():
        raise Refusal(
            "seal-number-used",
            _("Seal %(number)s was used before. Read the number again.") % {"number": number},
        )
    kit.seal_number, kit.seal_intact, kit.sealed_on = number, True, on
    kit.save(update_fields=["seal_number", "seal_intact", "sealed_on"])
    _seal_event(kit, Kind.CLOSED, stamp, "")
    record("seal-kit", {kit: {"seal": number}}, stamp=stamp, sites=[kit.site_id])
    return kit


@transaction.atomic
def unseal_kit(kit: Kit, *, kind: str, reason: str, stamp: Stamp) -> Kit:
    """The seal is opened, or found broken or missing: the kit is out until it is sealed anew."""
    if kind not in (Kind.OPENED, Kind.BROKEN, Kind.MISSING):
        raise Refusal(
            "seal-event-unknown", _("Say whether it was opened, found broken or missing.")
        )
    kit = locked_kit(kit)
    kit.seal_intact = False
    kit.save(update_fields=["seal_intact"])
    _seal_event(kit, Kind(kind), stamp, reason)
    record("unseal-kit", {kit: {"kind": kind}}, stamp=stamp, sites=[kit.site_id])
    return kit


def _refuse_if_elsewhere(kit: Kit, item: Item) -> None:
    """A part cannot be on issue, in another kit, or somewhere else on the map."""
    if item.kit_id and item.kit_id != kit.pk:
        raise Refusal(
            "in-another-kit",
            _("%(item)s is in kit %(kit)s: take it out first.")
            % {"item": item.shown_code, "kit": item.kit},
        )
    if item.custody in ("person", "in-transit", "maker", "installed"):
        raise Refusal(
            "part-elsewhere",
            _("%(item)s is %(custody)s: get it back first.")
            % {"item": item.shown_code, "custody": item.get_custody_display().lower()},
        )


def _refuse_second_place(part: KitPart, item: Item) -> None:
    """An item fills one part, and a bag is no part: its own contents would go unasked."""
    if KitPart.objects.filter(item=item).exclude(pk=part.pk).exists():
        raise Refusal(
            "in-another-part",
            _("%(item)s fills another part: take it out there first.") % {"item": item.shown_code},
        )
    if item.product.kind.is_rescue_kit:
        raise Refusal(
            "a-kit-in-a-kit",
            _("%(item)s is a kit itself: put its parts in.") % {"item": item.shown_code},
        )


def _opened(kit: Kit) -> None:
    """The contents have changed: a new version of the card, and the seal no longer stands."""
    kit.contents_version += 1
    kit.seal_intact = False
    kit.save(update_fields=["contents_version", "seal_intact"])


def _seal_event(kit: Kit, kind: SealEvent.Kind, stamp: Stamp, reason: str) -> None:
    SealEvent.objects.create(
        kit=kit, kind=kind, number=kit.seal_number, at=stamp.at, by=stamp.by, reason=reason
    )
