"""Receipts of issue, return and transfer: made of movements that happened, and signed once."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import replace

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from inspections.conditions import states_of
from inspections.rules.verdict import Verdict, usable
from register import clock
from register.models import Handover, HandoverLine, Item, Movement, Stamp, record
from register.refusal import Refusal
from register.rules.chain import canonical
from register.rules.strokes import Strokes

MOST_LINES = 60


@transaction.atomic
def make_handover(movements: Sequence[Movement], *, stamp: Stamp) -> Handover:
    """One receipt of pieces that went one way together, each judged as it stands now.

    Refuses none at all, too many, pieces that went to or from different people or sites, and a piece
    that is on another receipt already or has moved on.
    """
    keys = [one.pk for one in movements]
    chosen = list(Movement.objects.select_for_update(of=("self",)).filter(pk__in=keys))
    _refuse_unlike(chosen)
    first = chosen[0]
    handover = Handover.objects.create(
        kind=first.kind,
        site=first.from_site or first.item.site,
        to_site=first.to_site,
        person=first.person,
        made_at=stamp.at,
        made_by=stamp.by,
    )
    verdicts = _judged([one.item_id for one in chosen], stamp)
    HandoverLine.objects.bulk_create(
        _line(handover, one, verdicts[one.item_id]) for one in sorted(chosen, key=lambda m: m.pk)
    )
    facts = {"kind": handover.kind, "movements": sorted(keys)}
    record("make-handover", {handover: facts}, stamp=stamp)
    return handover


def _refuse_unlike(chosen: Sequence[Movement]) -> None:
    if not chosen:
        raise Refusal("nothing-chosen", _("Choose at least one piece for the receipt."))
    if len(chosen) > MOST_LINES:
        told = _("At most %(most)d pieces stand on one receipt. Make two.")
        raise Refusal("too-many", told % {"most": MOST_LINES})
    ways = {(one.kind, one.from_site_id, one.to_site_id, one.person_id) for one in chosen}
    if len(ways) > 1 or chosen[0].kind not in Handover.Kind.values:
        raise Refusal(
            "not-one-way",
            _("These pieces did not go one way together. Make a receipt for each person or site."),
        )
    _refuse_moved_on(chosen)
    known = HandoverLine.objects.filter(movement__in=chosen).select_related("movement__item")
    if known:
        told = _("%(item)s is on another receipt already. Open that one.")
        raise Refusal("on-another", told % {"item": known[0].movement.item.shown_code})


def _refuse_moved_on(chosen: Sequence[Movement]) -> None:
    """A receipt states the piece as it goes over, not as it came back."""
    newest = Movement.objects.filter(item__in=[one.item_id for one in chosen]).values("item")
    last = {row["item"]: row["last"] for row in newest.annotate(last=Max("pk")).order_by()}
    gone = [one for one in chosen if last[one.item_id] != one.pk]
    if gone:
        told = _("%(item)s has moved on since. Leave it out.")
        raise Refusal("moved-on", told % {"item": gone[0].item.shown_code})


def _judged(keys: Sequence[int], stamp: Stamp) -> dict[int, Verdict]:
    """Where a piece is does not count: it is on its way from hand to hand."""
    items = list(Item.objects.with_product().filter(pk__in=keys))
    states = states_of(items)
    return {
        item.pk: usable(
            replace(states[item.pk], custody="stores", issued_elsewhere=False),
            clock.day_at(item.site, stamp.at),
        )
        for item in items
    }


def _line(handover: Handover, movement: Movement, verdict: Verdict) -> HandoverLine:
    return HandoverLine(
        handover=handover,
        movement=movement,
        usable=verdict.usable,
        code=verdict.code,
        facts=[list(fact) for fact in verdict.facts],
        through_on=verdict.through,
    )


@transaction.atomic
def sign_handover(
    handover: Handover, *, name: str, strokes: Strokes = (), stamp: Stamp
) -> Handover:
    """Whoever takes, brings or sends the pieces signs, by drawing or by typing their name; once."""
    handover = Handover.objects.select_for_update(of=("self",)).get(pk=handover.pk)
    name = " ".join(name.split())
    if handover.signed_at is not None:
        raise Refusal("signed-already", _("This receipt is signed already. Make a new one."))
    if not name:
        raise Refusal("no-name", _("Type the name of who signs."))
    signed = Handover.Signed.DRAWN if strokes else Handover.Signed.TYPED
    handover.signed_name, handover.signed_how, handover.signed_at = name[:120], signed, stamp.at
    handover.strokes = [[list(point) for point in stroke] for stroke in strokes]
    handover.save(update_fields=["signed_name", "signed_how", "signed_at", "strokes"])
    drawn = hashlib.sha256(canonical(handover.strokes).encode()).hexdigest() if strokes else ""
    facts = {"how": str(signed), "strokes": drawn}
    record("sign-handover", {handover: facts}, stamp=stamp, notes={"name": handover.signed_name})
    return handover
