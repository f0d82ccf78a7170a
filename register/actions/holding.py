"""Evidence: kept as it is until a manager and a competent person agree that it may go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.db import transaction
from django.db.models import Model, Q, QuerySet
from django.utils.translation import gettext as _

from register.actions.two_people import refuse_unlike_a_pair, refuse_unlike_one_of_two, roles_at
from register.models import Hold, Item, Site, Stamp, record
from register.refusal import Refusal


@transaction.atomic
def hold(items: Sequence[Item], *, site: Site, because: str, stamp: Stamp) -> Hold:
    """Keep the items as evidence from now on."""
    placed = Hold.objects.create(
        site=site, because=because[:120], placed_at=stamp.at, placed_by=stamp.by
    )
    placed.items.set(items)
    facts = {"items": sorted(item.code for item in items), "because": placed.because}
    touched: dict[Model, Mapping[str, object]] = {item: {"because": because} for item in items}
    record("hold", {**touched, placed: facts}, stamp=stamp)
    return placed


@transaction.atomic
def ask_release(hold: Hold, *, because: str, stamp: Stamp) -> Hold:
    """One of the two says why the evidence may go; it stays until the other agrees."""
    hold = _locked(hold)
    if not because.strip():
        raise Refusal("reason-missing", _("Say why the evidence may go."))
    if hold.asked_by and roles_at(hold.asked_by, hold.site_id):
        raise Refusal(
            "asked-already",
            _("%(asked_by)s asked for this already: agree to it.") % {"asked_by": hold.asked_by},
        )
    hold.asked_by = refuse_unlike_one_of_two(stamp.by, hold.site_id)
    hold.asked_at, hold.asked_because = stamp.at, because
    hold.save(update_fields=["asked_at", "asked_by", "asked_because"])
    record("ask-release-of-hold", {hold: {}}, stamp=stamp, notes={"because": because})
    return hold


@transaction.atomic
def agree_release(hold: Hold, *, stamp: Stamp) -> Hold:
    """The other of the two agrees: the items are evidence no longer. Nothing else changes."""
    hold = _locked(hold)
    if hold.asked_by is None:
        raise Refusal("nobody-asked", _("Nobody has asked to release this evidence yet."))
    refuse_unlike_a_pair(hold.asked_by, stamp.by, hold.site_id)
    hold.released_at, hold.released_by = stamp.at, stamp.by
    hold.save(update_fields=["released_at", "released_by"])
    items = list(hold.items.order_by("pk"))
    touched: dict[Model, Mapping[str, object]] = {item: {} for item in items}
    record("release-hold", {**touched, hold: {"items": len(items)}}, stamp=stamp)
    return hold


def holds_on(item: Item) -> QuerySet[Hold]:
    """What keeps the item as evidence, or something in the bag that it is."""
    evidence = Q(items=item) | Q(items__kit__item=item, items__custody="kit")
    return Hold.objects.standing().filter(evidence).distinct()


def refuse_if_held(item: Item) -> None:
    """Evidence is not destroyed, not sent away and not let go, nor the bag with evidence in it."""
    for held in holds_on(item)[:1]:
        raise Refusal(
            "held-as-evidence",
            _(
                "%(item)s is held as evidence (%(because)s). It stays as it is until a manager and a"
                " competent person have released the evidence."
            )
            % {"item": item.shown_code, "because": held.because},
        )


def _locked(hold: Hold) -> Hold:
    held = Hold.objects.select_for_update().get(pk=hold.pk)
    if held.released_at is not None:
        raise Refusal("released-already", _("This evidence was released before."))
    return held
