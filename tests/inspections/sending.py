"""What phones write and send, for tests: events as the phone makes them, and the taking in."""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta
from functools import partial
from typing import Any

from inspections.checklists import checklist_for
from inspections.models import SyncEvent
from inspections.rules.checklists import hash_of
from inspections.sync.taking_in import Answer, Sender, take_in
from register.access import may
from register.models import Item, User
from tests.factories import NOON

MINUTE = timedelta(minutes=1)


def event(by: User | None, what: str, /, *, at: datetime = NOON, **body: Any) -> dict[str, Any]:
    """One event as a phone keeps it."""
    return {
        "id": str(uuid.uuid4()),
        "kind": what,
        "claimed_at": at.isoformat(),
        "user": by.pk if by else None,
        "body": body,
    }


def looked(
    by: User, item: Item, verdict: str = "pass", *, at: datetime = NOON, **body: Any
) -> dict[str, Any]:
    """A look at the item, all points good where it passes."""
    told: dict[str, Any] = {"item": item.code, "kind": "detailed", "verdict": verdict}
    told["checklist"] = hash_of(checklist_for(item.product.equipment_class))
    told["statement"] = "all-good" if verdict == "pass" else ""
    if verdict == "fail":
        told["defects"] = [{"grade": "A", "what": "edge cut"}]
    return event(by, "look", at=at, **{**told, **body})


def sent(
    by: User,
    *events: object,
    at: datetime = NOON + 5 * MINUTE,
    sent_at: datetime | None = None,
    **more: Any,
) -> list[Answer]:
    """They arrive; the clock of the phone is right where nothing else is said."""
    sender = Sender(
        user=by,
        may=partial(may, by),
        received_at=at,
        device="P-1",
        sent_at=sent_at or at,
        **more,
    )
    return take_in(list(events), sender)


def outcome(one: Any) -> str:
    return SyncEvent.objects.get(pk=one["id"]).outcome
