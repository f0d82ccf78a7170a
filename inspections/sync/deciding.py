"""What a person decides about an event that was kept, refused or waits: done after all, or dropped."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.models import SyncEvent
from inspections.sync.applying import ACTS, written_in
from inspections.sync.bodies import Body
from inspections.sync.context import Context, May, Outcome, Wait
from inspections.sync.taking_in import settle
from inspections.sync.wording import problem_sentence
from register.models import Stamp, User, record
from register.refusal import Refusal


@transaction.atomic
def accept_event(event: SyncEvent, *, by: User, may: May, stamp: Stamp) -> SyncEvent:
    """Do what the event says, by the ordinary act and with all that the act refuses.

    A pass is recorded as the look it was: it releases nothing, and one that came before the item
    was put out never will. What it waited for and has not come is left out.
    """
    row = _undecided(event)
    sent = written_in(row)
    if sent.problem:
        raise Refusal(sent.problem, problem_sentence(sent.problem))
    told = Context(event=row, by=by, may=may, at=stamp.at, decided=True)
    try:
        done = ACTS[sent.kind](Body(sent.body), told)
    except Wait as wait:
        raise Refusal("waits", _("What belongs to it has not come yet.")) from wait
    _decide(row, stamp, "")
    settle(row, done)
    _record(row, stamp, {"outcome": row.outcome, "result": row.result}, "")
    return row


@transaction.atomic
def drop_event(event: SyncEvent, *, because: str, stamp: Stamp) -> SyncEvent:
    """It is not done, and says why for ever. What it put out stays out."""
    row = _undecided(event)
    if not because.strip():
        raise Refusal("reason-missing", _("Say why it is dropped."))
    _decide(row, stamp, because)
    row.outcome = Outcome.DROPPED
    row.save()
    _record(row, stamp, {"outcome": row.outcome}, because)
    return row


def _undecided(event: SyncEvent) -> SyncEvent:
    rows = SyncEvent.objects.select_for_update(of=("self",)).select_related("made_by__person")
    row = rows.get(pk=event.pk)
    if row.outcome not in SyncEvent.UNDECIDED:
        raise Refusal("decided-already", _("This was decided before: load the page anew."))
    return row


def _decide(row: SyncEvent, stamp: Stamp, because: str) -> None:
    row.settled_at, row.settled_by, row.settled_because = stamp.at, stamp.by, because[:200]


def _record(row: SyncEvent, stamp: Stamp, facts: dict[str, object], because: str) -> None:
    notes = {"because": because}
    told = {**facts, "sha256": row.sha256}
    sites = [row.site_id] if row.site_id else []
    record("decide-event", {row: told}, stamp=stamp.again(), notes=notes, sites=sites)
