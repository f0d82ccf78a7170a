"""Access tokens of other systems: how one is written, what is kept of it, what it may reach."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from register.rules.tags import ALPHABET
from register.rules.texts import gettext_noop

LEAD = "tallyhook"
"""Begins every token, so that one left lying in a file can be found by searching for it."""

PREFIX_LENGTH = 8
MOST_DAYS = 366
"""From its making to its last day: a token that nobody renews ends by itself."""

USED_EVERY = timedelta(minutes=5)
"""'Last used' is no older than this; a write for every reading would cost more than it tells."""

READS = {
    "site.see": gettext_noop("Read sites, their zones and shifts"),
    "item.see": gettext_noop("Read items and whether they may be used"),
    "inspection.see": gettext_noop("Read the inspections of an item"),
    "kit.see": gettext_noop("Read rescue kits and their parts"),
    "cover.see": gettext_noop("Read rescue cover, and ask what if"),
    "due.see": gettext_noop("Read what falls due"),
    "notice.see": gettext_noop("Read safety notices"),
    "person.see": gettext_noop("Read who holds an item and who inspected it, by name"),
}
WRITES = {
    "inspection.record": gettext_noop("Record inspections in your name"),
    "sync.send": gettext_noop("Send events in your name, as a phone does"),
}
TOKEN_NEEDS = READS | WRITES
"""What a token can be given, of the needs in the one table; nothing else can be done by one."""

Holdings = frozenset[tuple[str, int | None]]


@dataclass(frozen=True, slots=True)
class Written:
    """A token as its bearer has it: the public prefix it is found by, and the secret."""

    prefix: str
    secret: str

    def __str__(self) -> str:
        return f"{LEAD}_{self.prefix}_{self.secret}"


def new_token() -> Written:
    """A prefix that can be read aloud, and 256 random bits."""
    prefix = "".join(secrets.choice(ALPHABET) for _ in range(PREFIX_LENGTH))
    return Written(prefix, secrets.token_urlsafe(32))


def read_token(text: str) -> Written | None:
    """The parts of a token; None where the text is none."""
    lead, _, rest = text.partition("_")
    prefix, _, secret = rest.partition("_")
    if lead != LEAD or len(prefix) != PREFIX_LENGTH or not secret or not text.isascii():
        return None
    return Written(prefix, secret)


def hash_of(secret: str) -> str:
    """SHA-256. A slow hash protects what people choose; of 256 random bits nothing can be guessed
    (NIST SP 800-63B on look-up secrets of 112 bits and more; from memory, to be verified)."""
    return hashlib.sha256(secret.encode()).hexdigest()


def narrowed(held: Holdings, sites: Iterable[int]) -> Holdings:
    """The owner's roles at these sites alone; never one that the owner does not hold there."""
    wanted = frozenset(sites)
    return frozenset(
        (role, site) for role, at in held for site in wanted if at is None or at == site
    )


def last_day_problem(through_on: date, today: date) -> str:
    """'' for a last day that a token can have, else 'past' or 'too-far'."""
    if through_on < today:
        return "past"
    return "too-far" if through_on > today + timedelta(days=MOST_DAYS) else ""
