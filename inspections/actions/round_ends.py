"""How a round ends: signed once by its inspector, or dropped; and what is met beside its list."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping

from django.db import transaction
from django.db.models import Model
from django.utils.translation import gettext as _

from inspections.actions.authority import standing_of
from inspections.actions.notices import match_items
from inspections.actions.rounds import is_own, locked_round, refuse_unless_going, the_same
from inspections.conditions import refresh_due
from inspections.models import Inspection, Round, RoundLine
from inspections.round_wording import not_signed_sentence
from inspections.rules.round_lines import (
    DROPPED,
    ELSEWHERE,
    EXPECTED,
    NOT_PRESENTED,
    UNKNOWN,
    UNSIGNED,
    Ready,
    at_signing,
    why_not_signed,
)
from inspections.rules.verdict import effect_of
from register.actions.conditions import withdraw
from register.actions.goods_in import add_product
from register.actions.locking import locked_item, locked_items
from register.actions.taking_on import take_on_quarantined
from register.models import Item, Kit, Product, Stamp, record
from register.refusal import Refusal
from register.rules.conditions import Condition, may_change

Touched = dict[Model, Mapping[str, object]]


@transaction.atomic
def sign_round(found: Round, *, stated: bool, note: str = "", stamp: Stamp) -> Round:
    """One signature for the round: its passes count from now on, each from its own day and time.

    What was expected and never picked up is 'not presented', and no clock of it moves. What failed
    is withdrawn, where the inspector is authorised. Signed twice is signed once.
    """
    found = locked_round(found)
    if found.signed_at and is_own(found, stamp.by):
        return found
    lines = list(found.lines.select_related("item", "inspection"))
    _refuse_signature(found, lines, stated=stated, stamp=stamp)
    missed = [line for line in lines if line.state == EXPECTED]
    for line in missed:
        line.state = at_signing(line.state)
    RoundLine.objects.bulk_update(missed, ["state"], batch_size=200)
    found.signed_at, found.signed_by, found.note = stamp.at, stamp.by, note
    found.save(update_fields=["signed_at", "signed_by", "note"])
    waiting = _waiting(found)
    missing = {"round": str(found.pk), "line": NOT_PRESENTED}
    touched: Touched = {line.item: missing for line in missed if line.item}
    touched |= {found: _facts(lines), **_counted(found, waiting, stamp)}
    sites = _sites_relying_on(found, waiting)
    record("sign-round", touched, stamp=stamp, notes={"note": note}, sites=sites)
    for one in waiting:
        _withdraw_failed(one, stamp)
    refresh_due(_with_product(waiting))
    return found


def _withdraw_failed(one: Inspection, stamp: Stamp) -> None:
    """What failed was out since the first tap; signed by who may say so, it is out for good.

    One that cannot be withdrawn where it is now, such as one lost meanwhile, stays out as it is.
    """
    if effect_of(one.verdict, authorised=one.counts) != "withdraw":
        return
    item = locked_item(one.item)
    if may_change(item.condition, Condition.WITHDRAWN):
        withdraw(item, ground="failed inspection", note=one.note, stamp=stamp.again())


def _sites_relying_on(found: Round, waiting: Iterable[Inspection]) -> set[int]:
    """The site of the round, and where the items and their kits are by now."""
    items = [one.item for one in waiting]
    kits = Kit.objects.filter(parts__item__in=items).values_list("item__site_id", flat=True)
    return {found.site_id, *(item.site_id for item in items), *kits}


def _with_product(waiting: Iterable[Inspection]) -> list[Item]:
    keys = [one.item_id for one in waiting]
    return list(Item.objects.filter(pk__in=keys).select_related("product", "site"))


def _waiting(found: Round) -> list[Inspection]:
    """The looks that wait for the signature, and that no correction has replaced; items locked."""
    rows = Inspection.objects.standing().filter(
        round_line__round=found, counts_not_because=UNSIGNED
    )
    waiting = list(rows.select_related("inspector").order_by("item_id", "performed_at", "pk"))
    locked_items(one.item for one in rows.select_related("item"))
    known = {item.pk: item for item in _with_product(waiting)}
    for one in waiting:
        one.item = known[one.item_id]
    return waiting


def _counted(found: Round, waiting: Iterable[Inspection], stamp: Stamp) -> Touched:
    """Each look counts from now on, if its inspector's right still stands for that day."""
    touched: Touched = {}
    told: dict[Item, list[list[object]]] = {}
    for one in waiting:
        standing = standing_of(one.item, one.inspector, one.kind, one.performed_on)
        one.counts, one.counts_not_because = not standing.not_because, standing.not_because
        one.authority, one.signed_at = standing.authority, stamp.at
        told.setdefault(one.item, []).append([str(one.pk), one.verdict, one.counts])
    names = ["counts", "counts_not_because", "authority", "signed_at"]
    Inspection.objects.bulk_update(waiting, names, batch_size=200)
    for item, looks in told.items():
        touched[item] = {"round": str(found.pk), "signed": looks}
    return touched


def _facts(lines: Iterable[RoundLine]) -> dict[str, object]:
    """Every line as it was signed, in the order of the tags."""
    said = sorted([line.item.code if line.item else line.text, line.state] for line in lines)
    return {"lines": said}


def _refuse_signature(
    found: Round, lines: Iterable[RoundLine], *, stated: bool, stamp: Stamp
) -> None:
    told = [line for line in lines if line.state != EXPECTED]
    code = why_not_signed(
        Ready(
            is_open=found.is_open,
            own=is_own(found, stamp.by),
            told=len(told),
            unwritten=sum(bool(line.stopped) for line in told),
            stated=stated,
        )
    )
    if code:
        stopped = [line.item.shown_code for line in told if line.stopped and line.item]
        raise Refusal(code, not_signed_sentence(code, found.inspector.name, stopped))


@transaction.atomic
def drop_round(found: Round, *, because: str, stamp: Stamp) -> Round:
    """End a round that nobody will sign: what is out stays out, no pass of it ever counts.

    Who may drop the round of another is for the edge to say.
    """
    if not because.strip():
        raise Refusal("reason-missing", _("Say why this round is not signed."))
    found = locked_round(found)
    if not found.is_open:
        raise Refusal("round-closed", _("This round is closed already."))
    found.dropped_at, found.dropped_by = stamp.at, stamp.by
    found.dropped_because = because[:200]
    found.save(update_fields=["dropped_at", "dropped_by", "dropped_because"])
    looks = Inspection.objects.filter(round_line__round=found, counts_not_because=UNSIGNED)
    keys = sorted(str(pk) for pk in looks.values_list("pk", flat=True))
    Inspection.objects.filter(pk__in=keys).update(counts_not_because=DROPPED)
    notes = {"because": because}
    record(
        "drop-round",
        {found: {"never_signed": keys}},
        stamp=stamp,
        notes=notes,
        sites=[found.site_id],
    )
    return found


@transaction.atomic
def note_stray(
    found: Round, *, text: str, item: Item | None, look: uuid.UUID, stamp: Stamp
) -> RoundLine:
    """A code of no one, or an item of another site, stands in the round as what it was."""
    found = locked_round(found)
    if known := RoundLine.objects.filter(look=look).first():
        return the_same(known, found)
    refuse_unless_going(found, None, stamp)
    if not text.strip():
        raise Refusal("text-missing", _("Write what stands on it, or: no tag."))
    state = ELSEWHERE if item else UNKNOWN
    line = RoundLine.objects.create(
        round=found, text=text.strip()[:60], item=item, state=state, look=look, at=stamp.at
    )
    record("stray-in-round", {found: {"text": line.text, "state": state}}, stamp=stamp)
    return line


@transaction.atomic
def take_on_in_round(
    found: Round, product: Product, *, serial: str, text: str, look: uuid.UUID, stamp: Stamp
) -> RoundLine:
    """An item not on the register is taken on in quarantine on the spot; its line says so."""
    found = locked_round(found)
    if known := RoundLine.objects.filter(look=look).first():
        return the_same(known, found)
    refuse_unless_going(found, None, stamp)
    if product.pk is None:
        product = add_product(product, stamp=stamp.again())
    remarks = f"Taken on during a round; on it stood: {text}" if text else "Taken on during a round"
    item = take_on_quarantined(product, found.site, serial=serial, remarks=remarks, stamp=stamp)
    item = Item.objects.select_related("product").get(pk=item.pk)
    refresh_due([item])
    match_items([item], stamp=stamp.again())
    line = RoundLine.objects.create(
        round=found, text=text[:60], item=item, state=UNKNOWN, look=look, at=stamp.at
    )
    record("take-on-in-round", {found: {"item": item.code}}, stamp=stamp.again())
    return line
