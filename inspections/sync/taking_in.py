"""Taking in what a phone sends: each event once, in its own transaction, whatever the others do.

Any order, any number of times: an event that needs another one waits for it, and one that was taken
before gets the answer it got then.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from django.db import IntegrityError, OperationalError, transaction

from inspections.models import Round, SentPhoto, SyncEvent
from inspections.rules.phone_times import Told
from inspections.rules.sent_events import SentEvent, another_id, read_event
from inspections.sync.applying import apply, written_in
from inspections.sync.context import Context, Done, May, Outcome
from inspections.sync.wording import problem_sentence
from register.models import User

LATER = "later"
"""The outcome of an event that was not taken: the phone keeps it and sends it again."""

MOST_WAITING = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Sender:
    """Who sends, from what device, what its clock showed, and when it was received here.

    ``from_file``: brought in from a saved queue, so that nothing can be asked of the phone again.
    """

    user: User
    may: May
    received_at: datetime
    device: str = ""
    sent_at: datetime | None = None
    from_file: bool = False


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of one event, in the order in which they were sent."""

    id: str
    outcome: str
    code: str = ""
    sentence: str = ""
    result: str = ""
    received_at: datetime | None = None


def take_in(values: Sequence[object], sender: Sender) -> list[Answer]:
    """One answer for each event; then whatever waited for one of them is tried again."""
    taken = [_taken(read_event(value), sender) for value in values]
    try_waiting(sender)
    keys = [one.pk for one in taken if isinstance(one, SyncEvent)]
    rows = SyncEvent.objects.in_bulk(keys)
    return [one if isinstance(one, Answer) else _answer(rows[one.pk]) for one in taken]


def try_waiting(sender: Sender) -> list[SyncEvent]:
    """Apply what has waited for something that is here now; returns what is done with waiting."""
    done: list[SyncEvent] = []
    while moved := [row for row in _waiting(sender) if _tried_again(row, sender)]:
        done += moved
    return done


def _waiting(sender: Sender) -> Iterable[SyncEvent]:
    rows = SyncEvent.objects.filter(outcome=Outcome.WAITS, made_by=sender.user)
    found = list(rows.select_related("made_by__person").order_by("received_at", "pk"))
    return [row for row in found[:MOST_WAITING] if all(map(_is_here, row.waits_for))]


def _is_here(name: str) -> bool:
    kind, _colon, key = name.partition(":")
    if kind == "photo":
        return SentPhoto.objects.filter(sha256=key).exists()
    if kind == "round":
        return Round.objects.filter(pk=key).exists()
    return SyncEvent.objects.filter(pk=key).exclude(outcome=Outcome.WAITS).exists()


def _tried_again(row: SyncEvent, sender: Sender) -> bool:
    """Whether it is done with waiting."""
    with transaction.atomic():
        row = SyncEvent.objects.select_for_update(of=("self",)).get(pk=row.pk)
        if row.outcome != Outcome.WAITS:
            return False
        done = apply(written_in(row), _context(row, sender), first=False)
        settle(row, done)
    return done.outcome != Outcome.WAITS


def settle(row: SyncEvent, done: Done) -> None:
    """Write what became of the event into its row."""
    for name in ("outcome", "code", "sentence", "result", "waits_for"):
        setattr(row, name, getattr(done, name))
    row.code, row.result = row.code[:40], row.result[:60]
    row.save()


def _taken(event: SentEvent, sender: Sender) -> SyncEvent | Answer:
    known = _known(event)
    if known and known.sha256 != event.sha256:
        event = replace(event, id=another_id(event), problem="id-used-twice")
        known = _known(event)
    if known:
        return known
    is_anothers = event.user is not None and event.user != sender.user.pk
    if is_anothers and not event.is_bad_news and not sender.from_file:
        return _not_taken(event, "made-by-another")
    try:
        with transaction.atomic():
            row = _row(event, sender)
            row.save(force_insert=True)
            settle(row, _first(event, row, sender))
    except IntegrityError:  # the same event came in at the same time
        found = _known(event)
        return found or _not_taken(event, "busy")
    except OperationalError:
        return _not_taken(event, "busy")
    return row


def _first(event: SentEvent, row: SyncEvent, sender: Sender) -> Done:
    """Good news is done at once for its own writer alone; else a person decides."""
    if event.user != sender.user.pk and not event.is_bad_news and not event.problem:
        code = "made-by-another" if event.user else "made-by-nobody"
        return Done(Outcome.KEPT, code, problem_sentence(code))
    return apply(event, _context(row, sender), first=True)


def _context(row: SyncEvent, sender: Sender) -> Context:
    return Context(event=row, by=sender.user, may=sender.may, at=sender.received_at)


def _known(event: SentEvent) -> SyncEvent | None:
    return SyncEvent.objects.filter(pk=event.id).first()


def _row(event: SentEvent, sender: Sender) -> SyncEvent:
    told = Told(event.claimed_at, sender.sent_at, sender.received_at)
    maker = User.objects.filter(pk=event.user).first() if event.user else None
    return SyncEvent(
        id=event.id,
        kind=event.kind,
        raw=event.raw,
        sha256=event.sha256,
        device=(sender.device or event.device)[:60],
        by=sender.user,
        made_by=maker or sender.user,
        claimed_at=event.claimed_at,
        sent_at=sender.sent_at,
        received_at=sender.received_at,
        offset_seconds=round(told.offset.total_seconds()) if told.offset is not None else None,
        outcome=Outcome.WAITS,
    )


def _answer(row: SyncEvent) -> Answer:
    return Answer(
        id=str(row.pk),
        outcome=row.outcome,
        code=row.code,
        sentence=row.sentence,
        result=row.result,
        received_at=row.received_at,
    )


def _not_taken(event: SentEvent, code: str) -> Answer:
    return Answer(str(event.id), LATER, code, problem_sentence(code))
