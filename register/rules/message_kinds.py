"""What people are written about, and what may go unsaid nowhere."""

from __future__ import annotations

from dataclasses import dataclass

from register.rules.texts import gettext_noop


@dataclass(frozen=True, slots=True)
class MessageKind:
    """`at_once`: somebody at each site should hear of it by mail; where nobody does, pages say so."""

    name: str
    at_once: bool = False


MORNING, WEEKLY, CONFIRM = "morning", "weekly", "confirm"
ARREST, NOTICE, COVER, TAG_STOP = "arrest", "notice", "cover", "tag-stop"

KINDS: dict[str, MessageKind] = {
    MORNING: MessageKind(gettext_noop("Each morning, if there is something to do")),
    WEEKLY: MessageKind(gettext_noop("Each week, how things stand")),
    ARREST: MessageKind(gettext_noop("At once: a fall was arrested"), at_once=True),
    NOTICE: MessageKind(gettext_noop("At once: a safety notice means equipment"), at_once=True),
    COVER: MessageKind(gettext_noop("At once: a task has lost its rescue cover"), at_once=True),
    TAG_STOP: MessageKind(
        gettext_noop("At once: somebody without a login stopped an item"), at_once=True
    ),
}
"""All that one may leave. The letter with the link that confirms an address is none of them."""

AT_ONCE = tuple(slug for slug, kind in KINDS.items() if kind.at_once)

WAITS = (1, 5, 15, 60, 180, 360, 720)
"""Minutes until the next try, after the first that failed, the second ... (common practice, no
source); after the last of them the message is given up."""

LEASE_MINUTES = 10
"""How long a worker has for what it took in hand, before another may think that it died."""

FRESH_DAYS = 3
"""What could not be sent for so long is news no more, and is given up."""


def wait_after(tries: int) -> int | None:
    """Minutes until the next try after so many have failed; None: given up."""
    return WAITS[tries - 1] if 1 <= tries <= len(WAITS) else None
