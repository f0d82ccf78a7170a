"""The only reader of the clock: everything else is told the day or the moment."""

from datetime import UTC, date, datetime
from typing import Protocol
from zoneinfo import ZoneInfo


class Placed(Protocol):
    """Anything that stands in a time zone, such as a site."""

    time_zone: str


def reading() -> datetime:
    """What the clock shows; a test that holds the time replaces this, and nothing imports it."""
    return datetime.now(UTC)


def now() -> datetime:
    """This moment, aware, in UTC."""
    return reading()


def today(place: Placed) -> date:
    """The day it is now at the place."""
    return day_at(place, now())


def day_at(place: Placed, moment: datetime) -> date:
    """The place's own day at a moment."""
    return moment.astimezone(ZoneInfo(place.time_zone)).date()
