"""Events that put equipment out at once, and who may inspect what."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from django.db import transaction

from inspections.models import Arrest, Authorisation
from inspections.rules.kinds import KINDS
from register.actions.conditions import quarantine
from register.actions.kits import unseal_kit
from register.models import Item, Kit, Person, SealEvent, Site, Stamp, record
from register.refusal import Refusal
from register.rules.classes import CLASSES


@transaction.atomic
def record_arrest(
    site: Site,
    *,
    items: Sequence[Item],
    happened_at: datetime,
    account: str,
    wearer: Person | None,
    stamp: Stamp,
) -> Arrest:
    """A fall was arrested: everything named, anchor and rescue kit included, is out at once.

    With nothing named, everything on issue to the wearer is out until the load path is known.
    """
    if happened_at > stamp.at:
        raise Refusal("in-the-future", "The fall lies in the future. Check the day and the time.")
    held = _load_path(items, wearer)
    when = {"happened_at": happened_at, "recorded_at": stamp.at, "recorded_by": stamp.by}
    arrest = Arrest.objects.create(site=site, wearer=wearer, account=account, **when)
    arrest.items.set(held)
    facts = {"items": sorted(item.code for item in held), "happened_at": happened_at.isoformat()}
    record("arrest", {arrest: facts}, stamp=stamp, notes={"account": account}, sites=[site])
    for item in held:
        quarantine(item, reason="arrested-a-fall", stamp=stamp.again())
    for kit in Kit.objects.filter(item__in=held):
        reason = "used in a rescue"
        unseal_kit(kit, kind=SealEvent.Kind.OPENED, reason=reason, stamp=stamp.again())
    return arrest


def _load_path(items: Sequence[Item], wearer: Person | None) -> list[Item]:
    """What was named, or everything on issue to the wearer; refuses where that is nothing."""
    held = list(items) or list(Item.objects.filter(holder=wearer) if wearer else [])
    if not held:
        raise Refusal(
            "nothing-named",
            "Name what was between the person and the structure, anchor included, or the person.",
        )
    return held


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
