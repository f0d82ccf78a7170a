"""What whoever sent events is told: one answer for each, and how far the sender's clock is off."""

from __future__ import annotations

from dataclasses import asdict
from datetime import timedelta

from inspections.rules.phone_times import MAY_DIFFER, Told
from inspections.sync.taking_in import Answer, Sender
from register import clock


def replied(answers: list[Answer], sender: Sender) -> dict[str, object]:
    """The reply to one sending, to be said in JSON."""
    told = Told(None, sender.sent_at, sender.received_at)
    offset = told.offset if told.offset is not None else timedelta(0)
    return {
        "received_at": sender.received_at.isoformat(),
        "clock": {
            "offset_seconds": round(offset.total_seconds()),
            "differs": told.differs,
            "may_differ_seconds": round(MAY_DIFFER.total_seconds()),
        },
        "answered_at": clock.now().isoformat(),  # all of it is in the register by now
        "answers": [_told(answer) for answer in answers],
    }


def _told(answer: Answer) -> dict[str, object]:
    received = answer.received_at.isoformat() if answer.received_at else None
    return {**asdict(answer), "received_at": received}
