"""A withdrawal made in error: one of two people asks, the other agrees; then it is quarantined.

It never leads back to service by itself: from quarantine only a pass does, as for everything.
"""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from register.actions.conditions import CONDITION_FIELDS, sites_relying_on
from register.actions.locking import locked_item, turn_from
from register.actions.two_people import (
    refuse_unlike_a_pair,
    refuse_unlike_one_of_two,
    roles_at,
)
from register.models import Entry, Item, Reversal, Stamp, record
from register.refusal import Refusal
from register.rules.conditions import Condition

REASON = "withdrawn-in-error"


@transaction.atomic
def ask_undo(item: Item, *, because: str, stamp: Stamp) -> Reversal:
    """Say why the withdrawal was an error. The item stays withdrawn until the other agrees."""
    item = locked_item(item)
    if not because.strip():
        raise Refusal("reason-missing", _("Say in writing why the withdrawal was an error."))
    asker = refuse_unlike_one_of_two(stamp.by, item.site_id)
    turn_from(item, Condition.WITHDRAWN, Condition.QUARANTINED, stamp.at)  # refuses; is not kept
    asked = open_reversal(item)
    if asked and roles_at(asked.asked_by, item.site_id):
        raise Refusal(
            "asked-already",
            _("%(asked_by)s asked for this already: agree to it.") % {"asked_by": asked.asked_by},
        )
    asked = asked or Reversal(item=item)
    asked.because, asked.asked_at, asked.asked_by = because, stamp.at, asker
    asked.full_clean(validate_constraints=False)
    asked.save()
    record("ask-undo-withdrawal", {item: {}}, stamp=stamp, notes={"because": because})
    return asked


@transaction.atomic
def agree_undo(item: Item, *, stamp: Stamp) -> Item:
    """The second person agrees: from withdrawn into quarantine, never further."""
    item = locked_item(item)
    facts = turn_from(item, Condition.WITHDRAWN, Condition.QUARANTINED, stamp.at)
    asked = open_reversal(item)
    if asked is None:
        raise Refusal(
            "nobody-asked",
            _("Nobody has asked to undo the withdrawal of %(item)s.") % {"item": item.shown_code},
        )
    refuse_unlike_a_pair(asked.asked_by, stamp.by, item.site_id)
    item.quarantine_reason = REASON
    item.quarantined_also_for = _reasons_before(item)
    item.quarantined_at, item.quarantined_by = stamp.at, stamp.by
    item.save(update_fields=CONDITION_FIELDS)
    asked.agreed_at, asked.agreed_by = stamp.at, stamp.by
    asked.save(update_fields=["agreed_at", "agreed_by"])
    said = {**facts, "reason": REASON}
    notes = {"because": asked.because}
    record("undo-withdrawal", {item: said}, stamp=stamp, notes=notes, sites=sites_relying_on(item))
    return item


def _reasons_before(item: Item) -> list[str]:
    """Why it was in quarantine when it was withdrawn: that is not undone."""
    chain = Entry.objects.filter(thing_kind="item", thing_id=str(item.pk), act__verb="withdraw")
    last = chain.order_by("-seq").first()
    found = last.facts.get("was_out_for", []) if last else []
    return [one for one in found if one and one != REASON] if isinstance(found, list) else []


def open_reversal(item: Item) -> Reversal | None:
    """What was asked and is not agreed to yet."""
    return item.reversals.filter(agreed_at=None).select_related("asked_by__person").first()
