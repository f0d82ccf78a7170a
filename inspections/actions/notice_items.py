"""What is done about one item that a notice means: told, its label read, settled, opened again."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.actions.notices import match_items
from inspections.conditions import refresh_due
from inspections.models import Inspection, NoticeMatch
from inspections.models.notices import OUT_ALREADY
from inspections.rules.item_facts import PASSES
from inspections.rules.notice_kinds import OUTCOMES
from register.actions.conditions import withdraw
from register.actions.label_reading import Label, correct_label
from register.models import Item, Stamp, record
from register.refusal import Refusal

RECALLED = "recalled by the maker"


@transaction.atomic
def read_label(item: Item, *, label: Label, how: str, stamp: Stamp) -> list[NoticeMatch]:
    """What was read goes on record, and every notice in force is asked again at once."""
    item = correct_label(item, label=label, how=how, stamp=stamp)
    item = Item.objects.select_related("product").get(pk=item.pk)
    changed = match_items([item], stamp=stamp)
    refresh_due([item])
    return changed


@transaction.atomic
def acknowledge(match: NoticeMatch, *, how: str, stamp: Stamp) -> NoticeMatch:
    """The holder has been told and knows; good for reminders, it releases nothing."""
    match = _locked(match)
    if match.acknowledged_at:
        raise Refusal(
            "acknowledged-already", _("This was acknowledged before: load the page anew.")
        )
    if not how.strip():
        raise Refusal("how-missing", _("Say who was told, and how."))
    match.acknowledged_at, match.acknowledged_by = stamp.at, stamp.by
    match.acknowledged_how = how
    match.save(update_fields=["acknowledged_at", "acknowledged_by", "acknowledged_how"])
    _record("acknowledge-notice", match, {}, stamp, {"how": how})
    return match


@transaction.atomic
def close_match(match: NoticeMatch, *, outcome: str, because: str, stamp: Stamp) -> NoticeMatch:
    """The notice is settled for this item. A pass is proven by a special inspection made since."""
    item = Item.objects.select_for_update().get(pk=match.item_id)
    match = _locked(match)
    _refuse_unfit(match, outcome, because)
    proof = _special_pass(match) if OUTCOMES[outcome].needs_pass else None
    if outcome == "withdrawn" and item.condition not in OUT_ALREADY:
        withdraw(item, ground=RECALLED, note=because, stamp=stamp.again())
    match.outcome, match.inspection = outcome, proof
    match.closed_at, match.closed_by, match.closed_because = stamp.at, stamp.by, because
    _save_closing(match)
    facts: dict[str, object] = {"outcome": outcome, "inspection": str(proof.pk) if proof else None}
    _record("close-notice", match, facts, stamp, {"because": because})
    _refresh(item)
    return match


@transaction.atomic
def reopen_match(match: NoticeMatch, *, because: str, stamp: Stamp) -> NoticeMatch:
    """Settled in error: the notice holds the item again, at once."""
    match = _locked(match)
    if not match.outcome:
        raise Refusal("not-settled", _("This is not settled: there is nothing to open again."))
    if not because.strip():
        raise Refusal("reason-missing", _("Say why it is opened again."))
    facts: dict[str, object] = {"was": match.outcome}
    match.outcome, match.inspection = "", None
    match.closed_at, match.closed_by, match.closed_because = None, None, ""
    _save_closing(match)
    _record("reopen-notice", match, facts, stamp, {"because": because})
    _refresh(match.item)
    return match


def _locked(match: NoticeMatch) -> NoticeMatch:
    NoticeMatch.objects.select_for_update().get(pk=match.pk)
    return NoticeMatch.objects.select_related("notice", "item", "inspection").get(pk=match.pk)


def _save_closing(match: NoticeMatch) -> None:
    match.save(update_fields=["outcome", "inspection", "closed_at", "closed_by", "closed_because"])


def _record(
    verb: str, match: NoticeMatch, facts: dict[str, object], stamp: Stamp, notes: dict[str, str]
) -> None:
    """One entry in the notice's chain and one in the item's, so that both histories tell it."""
    item, notice = match.item, match.notice
    touched = {
        item: {**facts, "notice": str(notice)},
        notice: {**facts, "item": item.pk},
    }
    record(verb, touched, stamp=stamp, notes=notes, sites=[item.site_id])


def _refresh(item: Item) -> None:
    refresh_due([Item.objects.select_related("product").get(pk=item.pk)])


def _refuse_unfit(match: NoticeMatch, outcome: str, because: str) -> None:
    if outcome not in OUTCOMES or match.notice.kind not in OUTCOMES[outcome].kinds:
        raise Refusal("outcome-not-for-this-kind", _("Choose how the notice ended for this item."))
    if not match.notice.is_in_force:
        raise Refusal(
            "notice-closed",
            _("%(notice)s holds nothing any more: load it anew.") % {"notice": match.notice},
        )
    if match.outcome and not match.proof_is_gone:
        raise Refusal("settled-already", _("This is settled already: open it again first."))
    if not because.strip():
        raise Refusal("reason-missing", _("Say how you know."))


def _special_pass(match: NoticeMatch) -> Inspection:
    """A counting pass of a special inspection made after the notice was received, the latest."""
    notice = match.notice
    rows = Inspection.objects.standing().filter(
        item=match.item, kind="special", counts=True, verdict__in=PASSES
    )
    for one in rows:
        since = min(one.performed_at, one.recorded_at) >= notice.recorded_at
        if since or one.performed_on > notice.received_on:
            return one
    raise Refusal(
        "no-special-pass",
        _(
            "%(item)s has no special inspection passed by an authorised person since %(notice)s"
            " was received. Record that inspection first."
        )
        % {"item": match.item.shown_code, "notice": notice},
    )
