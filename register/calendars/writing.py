"""A feed as a calendar program reads it (RFC 5545, 7986); folding and escaping are icalendar's work.

Days are dates without an hour, on the site's own calendar; DTEND is the day after the last (3.6.1).
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from datetime import timedelta

from django.conf import settings
from icalendar import Calendar, Event, Timezone, vText

from register.models import CalendarFeed, CalendarTold

READ_EVERY = timedelta(hours=4)
"""How often a program is asked to look again; it may look less often all the same."""


def written(feed: CalendarFeed, title: str, told: Iterable[CalendarTold]) -> bytes:
    """The whole calendar. The same events make the same bytes, so that a program may ask by ETag."""
    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", "-//Tallyhook//Calendar//EN")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", vText(title))
    calendar.add("x-wr-calname", vText(title))
    calendar.add("refresh-interval", READ_EVERY, parameters={"VALUE": "DURATION"})
    calendar.add("x-published-ttl", "PT4H")
    events = [_event(feed, one) for one in told]
    for event in events or [_nothing()]:
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def uid_of(feed: CalendarFeed, key: str) -> str:
    """The same for as long as the feed lives, and nothing about it can be read from it."""
    return f"{uuid.uuid5(feed.pk, key)}@{settings.PUBLIC_HOST}"


def _nothing() -> Timezone:
    """A calendar must hold something (3.4); the plain time of the world tells nobody anything."""
    return Timezone.from_tzid("Etc/UTC")


def _event(feed: CalendarFeed, one: CalendarTold) -> Event:
    event = Event()
    event.add("uid", uid_of(feed, one.key))
    event.add("dtstamp", one.changed_at)
    event.add("last-modified", one.changed_at)
    event.add("sequence", one.sequence)
    event.add("dtstart", one.first_on)
    event.add("dtend", one.last_on + timedelta(days=1))
    event.add("summary", one.summary)
    event.add("transp", "TRANSPARENT")
    event.add("class", "PRIVATE")
    event.add("status", "CANCELLED" if one.gone_on else "CONFIRMED")
    for name, text in (("description", one.detail), ("location", one.place), ("url", one.link)):
        if text:
            event.add(name, text)
    return event
