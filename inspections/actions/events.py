"""Events that put equipment out at once, and who may inspect what."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from django.db import transaction
from django.db.models import Q

from inspections.models import Arrest, Authorisation
from inspections.rules.kinds import KINDS
from register.actions.conditions import quarantine, zone_at
from register.actions.kits import unseal_kit
from register.actions.locking import locked_items
from register.models import (
    Item,
    Kit,
    Movement,
    Person,
    SealEvent,
    Site,
    Stamp,
    Zone,
    record,
)
from register.refusal import Refusal
from register.rules.classes import CLASSES
from register.rules.conditions import Condition

WORN = frozenset({"harness"})
LINKS = frozenset(
    {
        *("lanyard", "energy-absorbing-lanyard", "positioning-lanyard", "retractable"),
        *("guided-arrester", "rope", "rope-adjuster"),
    }
)


@transaction.atomic
def record_arrest(
    site: Site,
    *,
    items: Sequence[Item],
    happened_at: datetime,
    account: str,
    wearer: Person | None,
    zone: Zone | None = None,
    stamp: Stamp,
) -> Arrest:
    """A fall was arrested: everything named, anchor and rescue kit included, is out at once.

    A load path runs from a harness over a link to an anchor. Where no harness or no link is named,
    all that the wearer had is out; where no anchor is, every anchor of the zone; until it is known.
    """
    if happened_at > stamp.at:
        raise Refusal("in-the-future", "The fall lies in the future. Check the day and the time.")
    zone_at(site, zone)
    named = _load_path(items, wearer, happened_at)
    held = _locked([*named, *_anchors_in_doubt(named, zone)])
    when = {"happened_at": happened_at, "recorded_at": stamp.at, "recorded_by": stamp.by}
    arrest = Arrest.objects.create(site=site, wearer=wearer, account=account, **when)
    arrest.items.set(held)
    facts = {"items": sorted(item.code for item in held), "happened_at": happened_at.isoformat()}
    record("arrest", {arrest: facts}, stamp=stamp, notes={"account": account}, sites=[site])
    _put_out(held, stamp)
    return arrest


def _put_out(held: Sequence[Item], stamp: Stamp) -> None:
    """All of it at once; a kit among it has been opened."""
    for item in held:
        if item.condition != Condition.DESTROYED:  # a tag misread must not stop the others
            quarantine(item, reason="arrested-a-fall", stamp=stamp.again())
    for kit in Kit.objects.filter(item__in=held):
        reason = "used in a rescue"
        unseal_kit(kit, kind=SealEvent.Kind.OPENED, reason=reason, stamp=stamp.again())


def _load_path(items: Sequence[Item], wearer: Person | None, at: datetime) -> list[Item]:
    """What was named, and where that is no whole path all that the wearer had; or a refusal."""
    classes = {item.product.equipment_class for item in items}
    is_whole = classes & WORN and classes & LINKS
    held = [*items, *([] if is_whole or wearer is None else _had_by(wearer, at))]
    if not held:
        raise Refusal(
            "nothing-named",
            "Name what was between the person and the structure, anchor included, or the person.",
        )
    return held


def _had_by(wearer: Person, at: datetime) -> list[Item]:
    """On issue to the wearer now, or handed back since the fall."""
    back = Movement.objects.filter(kind=Movement.Kind.RETURNED, person=wearer, at__gte=at)
    return list(Item.objects.filter(Q(holder=wearer) | Q(pk__in=back.values("item"))))


def _anchors_in_doubt(named: Sequence[Item], zone: Zone | None) -> list[Item]:
    """Every anchor of the zone, where none is named."""
    if zone is None or any(item.product.kind.is_anchor for item in named):
        return []
    kinds = [slug for slug, kind in CLASSES.items() if kind.is_anchor]
    return list(Item.objects.filter(zone=zone, product__equipment_class__in=kinds))


def _locked(items: Sequence[Item]) -> list[Item]:
    """Kits first and items after them, as every act on a kit does; before any site is touched."""
    keys = [item.pk for item in items]
    list(Kit.objects.select_for_update().filter(item__in=keys).order_by("pk"))
    return locked_items(items)


@transaction.atomic
def authorise(
    person: Person,
    *,
    classes: Sequence[str],
    kinds: Sequence[str],
    from_on: date,
    through_on: date,
    basis: str,
    stamp: Stamp,
) -> Authorisation:
    """Let a person inspect these classes by these kinds; empty means all of them."""
    if unknown := sorted({*classes} - CLASSES.keys() | {*kinds} - KINDS.keys()):
        raise Refusal("class-or-kind-unknown", f"Not a class or a kind: {', '.join(unknown)}.")
    if not basis.strip():
        raise Refusal("basis-missing", f"Say what shows that {person} is competent.")
    given = Authorisation(
        person=person,
        classes=list(classes),
        kinds=list(kinds),
        from_on=from_on,
        through_on=through_on,
        basis=basis,
        given_by=stamp.by,
    )
    given.full_clean()
    given.save()
    facts = {"classes": list(classes), "kinds": list(kinds), "through_on": through_on.isoformat()}
    record("authorise", {person: facts}, stamp=stamp)
    return given
