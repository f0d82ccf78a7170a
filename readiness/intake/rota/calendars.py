"""A calendar (RFC 5545) as the lines of a rota: each occurrence in its window, with its own times.

Bounded before anything is expanded: size, number of events, and rules that repeat by the hour or
oftener, which no rota does.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

import icalendar
import recurring_ical_events

from readiness.intake.rota.columns import OF_CALENDARS, ROTA
from register.intake.reading import Cells, Sheet, Sheets, read
from register.intake.unreadable import Unreadable

MOST_BYTES = 5 * 1024 * 1024
MOST_EVENTS = 5_000
MOST_RULES = 500
MOST_LINES = 20_000
WINDOW = timedelta(days=62)
_EARLIEST = 1990  # a rule that began before would be gone through for every day since
_TOO_OFTEN = frozenset({"SECONDLY", "MINUTELY", "HOURLY"})
_BY_CLOCK = ("BYSECOND", "BYMINUTE", "BYHOUR")
_MARK = b"BEGIN:VCALENDAR"


@dataclass(frozen=True, slots=True)
class Occurrence:
    """One event on one day: who is named, and the moments with their zone; all day where a date."""

    names: tuple[str, ...]
    summary: str
    place: str
    begins: datetime | date
    ends: datetime | date
    is_cancelled: bool = False


def read_rota(content: bytes, name: str, on: date) -> Sheets:
    """The sheets of a workbook, or the occurrences of a calendar from the day on."""
    if not is_calendar(content):
        return read(content, name)
    rows = [_HEADINGS, *(row for one in occurrences(content, on) for row in _rows(one))]

    def open_sheet(sheet: str) -> Sheet:
        return Sheet(sheet, len(rows), lambda: iter(rows))

    return Sheets("csv", ("Calendar",), open_sheet)


_HEADINGS: Cells = tuple(ROTA.fields[slug].name for slug in OF_CALENDARS)


def is_calendar(content: bytes) -> bool:
    return content[:200].lstrip(b"\xef\xbb\xbf \r\n\t").upper().startswith(_MARK)


def occurrences(content: bytes, on: date) -> list[Occurrence]:
    """Those that begin from the day on, for two months; raises Unreadable."""
    if len(content) > MOST_BYTES:
        raise Unreadable("calendar-too-big", {"most": MOST_BYTES >> 20})
    try:
        calendar = icalendar.Calendar.from_ical(content)
        _refuse_boundless(calendar)
        query = recurring_ical_events.of(calendar, skip_bad_series=True)
        found = query.between(on, on + WINDOW)
    except Unreadable:
        raise
    except Exception as error:  # the libraries raise whatever they stumble over
        raise Unreadable("calendar-damaged") from error
    if len(found) > MOST_LINES:
        raise Unreadable("calendar-too-many", {"most": MOST_LINES})
    every = [_occurrence(event) for event in found]
    return sorted(every, key=lambda one: (str(one.begins), one.summary, one.names))


def _refuse_boundless(calendar: Any) -> None:
    events = list(calendar.walk("VEVENT"))
    rules = [event for event in events if "RRULE" in event or "RDATE" in event]
    if len(events) > MOST_EVENTS or len(rules) > MOST_RULES:
        raise Unreadable("calendar-too-many", {"most": MOST_RULES if rules else MOST_EVENTS})
    for event in rules:
        for rule in _listed(event.get("RRULE")):
            often = {str(each).upper() for each in _listed(rule.get("FREQ"))}
            if often & _TOO_OFTEN or any(key in rule for key in _BY_CLOCK):
                raise Unreadable("calendar-too-often", {"summary": str(event.get("SUMMARY", ""))})
        start = event.get("DTSTART")
        if start is None or start.dt.year < _EARLIEST:
            raise Unreadable("calendar-too-old", {"summary": str(event.get("SUMMARY", ""))})


def _listed(value: Any) -> list[Any]:
    if value is None:
        return []
    return value if isinstance(value, list) else [value]


def _occurrence(event: Any) -> Occurrence:
    names = [str(one.params.get("CN", "")).strip() for one in _listed(event.get("ATTENDEE"))]
    return Occurrence(
        names=tuple(sorted({name for name in names if name})),
        summary=str(event.get("SUMMARY", ""))[:200],
        place=str(event.get("LOCATION", ""))[:120],
        begins=event["DTSTART"].dt,
        ends=_end(event),
        is_cancelled=str(event.get("STATUS", "")).upper() == "CANCELLED",
    )


def _end(event: Any) -> datetime | date:
    if "DTEND" in event:
        end: datetime | date = event["DTEND"].dt
        return end
    start, lasts = event["DTSTART"].dt, event.get("DURATION")
    ended: datetime | date = start + (lasts.dt if lasts is not None else timedelta(0))
    return ended


def _rows(one: Occurrence) -> Iterator[Cells]:
    """A line for each person named; the summary alone where nobody is. What is cancelled is none."""
    if one.is_cancelled:
        return
    times = (one.begins.isoformat(), one.ends.isoformat())
    names: Iterable[str | None] = one.names or (None,)
    for name in names:
        yield (name, one.summary or None, one.place or None, *times)
