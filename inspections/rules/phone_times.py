"""The times a phone claims, and what they count as: early for good news, as claimed for bad."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

MAY_DIFFER = timedelta(minutes=5)  # common practice, no source


@dataclass(frozen=True, slots=True)
class Told:
    """When something was done by the phone's clock, what that clock showed at sending, and when it
    was received by the server's. None where the phone did not say."""

    claimed_at: datetime | None
    sent_at: datetime | None
    received_at: datetime

    @property
    def offset(self) -> timedelta | None:
        """By how much the phone's clock is behind the server's (negative: ahead)."""
        return self.received_at - self.sent_at if self.sent_at else None

    @property
    def differs(self) -> bool:
        """Whether the phone's clock was wrong by more than a slow line explains."""
        return self.offset is not None and abs(self.offset) > MAY_DIFFER


def for_good_news(told: Told) -> datetime:
    """The earliest it can have been: no clock that is ahead makes a look later than it was."""
    return min(_readings(told))


def for_bad_news(told: Told) -> datetime:
    """As claimed, whatever the clock: a look that came before it never speaks against it."""
    return told.claimed_at or told.received_at


def since(told: Told) -> datetime:
    """Since when an item is out: the earliest it can have been, and never later than received."""
    return min(_readings(told))


def _readings(told: Told) -> list[datetime]:
    """What was received, what was claimed, and the claim put right by a clock that is off."""
    if told.claimed_at is None:
        return [told.received_at]
    found = [told.received_at, told.claimed_at]
    if told.differs and told.offset is not None:
        found.append(told.claimed_at + told.offset)
    return found
