"""What waits in the outbox is sent: taken in hand in one short transaction, sent outside of it.

At least once, not at most once: a worker that dies between sending and marking sends again after its
lease, under the same Message-ID. A message that comes twice is a nuisance; one about a fall or lost
cover that never comes because it was marked first could be the only one.
"""

from __future__ import annotations

import logging
import smtplib
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime, timedelta

from django.core.mail import get_connection
from django.core.mail.backends.base import BaseEmailBackend
from django.db import transaction

from register.actions.messages import is_here
from register.messages.writing import mail_of
from register.models import Message, MessageTerms, Postbox
from register.rules.letters import one_line
from register.rules.message_kinds import FRESH_DAYS, LEASE_MINUTES, wait_after

logger = logging.getLogger(__name__)

AT_ONCE = 20
REFUSED_FOR_GOOD = 500
"""From this code on a mail server says that trying again is of no use (RFC 5321, 4.2.1)."""


def send_waiting(now: Callable[[], datetime]) -> int:
    """Send all that is due; how many went out. What fails waits, and keeps nobody else waiting."""
    sent = 0
    while taken := take(now()):
        connection = get_connection()
        for message in taken:
            sent += send(message, connection, now)
        with suppress(Exception):
            connection.close()
    return sent


@transaction.atomic
def take(at: datetime) -> list[Message]:
    """Take the next in hand. Whoever looks at the same moment takes others, or none.

    On SQLite the transaction lets in one writer at a time, which does the same.
    """
    due = Message.objects.waiting().filter(next_try_at__lte=at)
    rows = due.select_for_update(skip_locked=True, of=("self",)).order_by("next_try_at", "pk")
    taken = list(rows.select_related("user__person__home_site", "user__postbox")[:AT_ONCE])
    for message in taken:
        message.tries += 1
        message.was_due_at = message.next_try_at  # type: ignore[attr-defined]
        message.next_try_at = at + timedelta(minutes=LEASE_MINUTES)
    Message.objects.bulk_update(taken, ["tries", "next_try_at"])
    return taken


def send(message: Message, connection: BaseEmailBackend, now: Callable[[], datetime]) -> bool:
    """Send one that is in hand, and keep what came of it; False where it did not go out."""
    if reason := _why_not(message, now()):
        _give_up(message, reason, now())
        return False
    try:
        connection.send_messages([mail_of(message, message.user.postbox)])
    except Exception as error:
        logger.warning("A message was not sent: %s", type(error).__name__)
        with suppress(Exception):
            connection.close()
        _failed(message, error, now())
        return False
    Message.objects.filter(pk=message.pk).update(sent_at=now(), last_error="")
    return True


def _why_not(message: Message, at: datetime) -> str:
    """Asked at sending: who has left, or takes this no more, is not written to."""
    box: Postbox | None = getattr(message.user, "postbox", None)
    if box is None or not box.takes(message.kind) or not is_here(message.user, at):
        return "not wanted any more"
    was_due: datetime = message.was_due_at  # type: ignore[attr-defined]
    return "too old to be news" if was_due < at - timedelta(days=FRESH_DAYS) else ""


def _failed(message: Message, error: Exception, at: datetime) -> None:
    wait = wait_after(message.tries)
    said = one_line(f"{type(error).__name__}: {error}", 200)
    if wait is None or _refused_for_good(error):
        _give_up(message, said, at)
        return
    due = at + timedelta(minutes=wait)
    Message.objects.filter(pk=message.pk).update(next_try_at=due, last_error=said)


def _refused_for_good(error: Exception) -> bool:
    """Whether there is no such reader; a server that refuses us may be set right."""
    if not isinstance(error, smtplib.SMTPRecipientsRefused):
        return False
    return all(code >= REFUSED_FOR_GOOD for code, _said in error.recipients.values())


def _give_up(message: Message, reason: str, at: datetime) -> None:
    Message.objects.filter(pk=message.pk).update(given_up_at=at, last_error=reason)


def note_look(at: datetime) -> None:
    """That somebody empties the outbox, so that pages can say when nobody does; once a minute."""
    terms, _made = MessageTerms.objects.get_or_create(pk=1)
    seen = terms.sender_looked_at
    if seen is None or at - seen >= timedelta(minutes=1):
        MessageTerms.objects.filter(pk=terms.pk).update(sender_looked_at=at)
