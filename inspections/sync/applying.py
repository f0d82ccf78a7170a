"""One event becomes an act, or is kept with the reason; bad news takes effect in any case."""

from __future__ import annotations

import json
import logging
from collections.abc import Callable, Iterator

from django.core.exceptions import ValidationError
from django.db import OperationalError, transaction
from django.utils.translation import gettext as _

from inspections.actions.inspecting import QUARANTINE_AFTER
from inspections.models import SyncEvent
from inspections.rules.events import EVENT_KINDS
from inspections.rules.sent_events import SentEvent, read_event
from inspections.sync import happenings, looks, rounds
from inspections.sync.bodies import LONGEST, Body
from inspections.sync.context import Context, Done, Keep, Outcome, Wait, known_item
from inspections.sync.wording import problem_sentence
from register.actions.conditions import STAYS_OUT, quarantine
from register.models import Item
from register.refusal import Refusal
from register.rules.conditions import QUARANTINE_REASONS, Condition

logger = logging.getLogger(__name__)

ACTS: dict[str, Callable[[Body, Context], Done]] = {
    "quarantine": happenings.stop,
    "look": looks.look,
    "arrest": happenings.arrest,
    "event": happenings.event,
    "acknowledge": happenings.acknowledged,
    "round-begin": rounds.round_begin,
    "round-sign": rounds.round_sign,
    "take-on": rounds.take_on,
    "stray": rounds.stray,
}
OUT_ALREADY = frozenset({*STAYS_OUT, Condition.QUARANTINED, Condition.DESTROYED})


def apply(event: SentEvent, told: Context, *, first: bool) -> Done:
    """What became of the event. Whatever is wrong with bad news, its items are out; ``first`` is
    True when it is applied for the first time, so that asking again puts nothing out again."""
    done = _tried(event, told)
    if event.is_bad_news and done.outcome != Outcome.APPLIED and first:
        _put_out_anyway(event, told)
    return done


def written_in(row: SyncEvent) -> SentEvent:
    """The event as it was sent, read again."""
    try:
        return read_event(json.loads(row.raw))
    except ValueError:  # cut because it was too large
        return SentEvent(id=row.pk, kind=row.kind, raw=row.raw, problem="too-large")


def _tried(event: SentEvent, told: Context) -> Done:
    if event.problem:
        return _refused(event.problem, problem_sentence(event.problem))
    try:
        with transaction.atomic():
            return ACTS[event.kind](Body(event.body), told)
    except Wait as wait:
        words = _("Kept until what belongs to it has come.")
        return Done(Outcome.WAITS, "waits", words, waits_for=wait.waits_for)
    except Refusal as refusal:
        outcome = Outcome.KEPT if isinstance(refusal, Keep) else Outcome.REFUSED
        return Done(outcome, refusal.code, refusal.sentence)
    except ValidationError as wrong:
        return _refused("event-unsound", " ".join(wrong.messages))
    except OperationalError:  # busy or broken, not the event's fault: it is sent again
        raise
    except Exception:
        logger.exception("An event of a phone could not be applied: %s", event.id)
        return _refused("fault", problem_sentence("fault"))


def _refused(code: str, sentence: str) -> Done:
    return Done(Outcome.REFUSED, code, sentence)


def _put_out_anyway(event: SentEvent, told: Context) -> None:
    """Each item that the event names is out, as far as the sender may put it out."""
    for item in _named(event):
        told.event.item = told.event.item or item
        told.event.site = told.event.site or item.site
        if item.condition in OUT_ALREADY or not told.reaches(item):
            continue
        try:
            with transaction.atomic():
                quarantine(
                    item,
                    reason=_reason(event),
                    note=_("Told by a phone; what was sent waits for a decision."),
                    happened_at=told.since,
                    stamp=told.stamp,
                )
        except Refusal:
            logger.warning("%s could not be put out: %s", item.code, event.id)


def _named(event: SentEvent) -> Iterator[Item]:
    one, many = event.body.get("item"), event.body.get("items")
    codes = [one, *(many if isinstance(many, list) else [])]
    words = [code for code in codes if isinstance(code, str) and len(code) <= LONGEST]
    for code in dict.fromkeys(words):
        if event.problem != "not-understood" and (item := known_item(code)):
            yield item


def _reason(event: SentEvent) -> str:
    """Why it is out, as far as the event says it."""
    body = event.body
    told = {
        "quarantine": body.get("reason"),
        "look": QUARANTINE_AFTER.get(str(body.get("verdict"))),
        "arrest": "arrested-a-fall",
    }.get(event.kind)
    if event.kind == "event":
        kind = EVENT_KINDS.get(str(body.get("what")))
        told = kind.reason if kind else "suspected-load"
    return told if isinstance(told, str) and told in QUARANTINE_REASONS else "damage-found"
