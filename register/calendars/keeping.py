"""What a feed told last is compared with what there is to tell, and kept."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import fields
from datetime import date, datetime

from django.db import transaction

from register.models import CalendarFeed, CalendarTold
from register.rules.calendar import Happening, Told, compared, shown

CONTENT = tuple(field.name for field in fields(Happening))
CHANGES = (*CONTENT[1:], "sequence", "changed_at", "gone_on")

Found = tuple[Collection[Happening], Collection[str]]
"""What there is to tell, and the topics of which nothing is known just now."""


def bring_up_to_date(
    feed: CalendarFeed, found: Found, today: date, at: datetime
) -> list[CalendarTold]:
    """The events that the feed tells now, in order; whoever reads at the same moment gets the same.

    Nothing is written, and no writer waits, where nothing has changed.
    """
    if _changes(feed, found, today):
        with transaction.atomic():
            CalendarFeed.objects.select_for_update().get(pk=feed.pk)
            _keep(feed, _changes(feed, found, today), at)
    rows = {row.key: row for row in feed.told.all()}
    return [rows[one.happening.key] for one in shown(_told(rows).values(), today)]


def _changes(feed: CalendarFeed, found: Found, today: date) -> dict[str, Told]:
    told = _told({row.key: row for row in feed.told.all()})
    now = compared(told, found[0], today, found[1])
    return {key: one for key, one in now.items() if told.get(key) != one}


def _told(rows: Mapping[str, CalendarTold]) -> dict[str, Told]:
    return {
        key: Told(
            Happening(**{name: getattr(row, name) for name in CONTENT}), row.sequence, row.gone_on
        )
        for key, row in rows.items()
    }


def _keep(feed: CalendarFeed, changes: Mapping[str, Told], at: datetime) -> None:
    rows = [_row(feed, one, at) for one in changes.values()]
    CalendarTold.objects.bulk_create(
        rows,
        batch_size=200,
        update_conflicts=True,
        unique_fields=["feed", "key"],
        update_fields=CHANGES,
    )


def _row(feed: CalendarFeed, one: Told, at: datetime) -> CalendarTold:
    content = {name: getattr(one.happening, name) for name in CONTENT}
    return CalendarTold(
        feed=feed, sequence=one.sequence, changed_at=at, gone_on=one.gone_on, **content
    )


def note_reading(feed: CalendarFeed, at: datetime) -> None:
    """That the feed is in use, so that its owner sees which to shut; once a day at the most."""
    if feed.read_at is None or feed.read_at.date() != at.date():
        CalendarFeed.objects.filter(pk=feed.pk).update(read_at=at)
