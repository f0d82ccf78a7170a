"""What one line of a rota says: who, where, on which day, on which shift or from when to when."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time

from readiness.intake.people import Who
from readiness.intake.training.stated import who_of
from register.intake.columns import Guess
from register.intake.dates import date_of
from register.intake.fields import normal_heading
from register.intake.reading import Cell, Cells, Sheets
from register.intake.rows import Problem
from register.intake.survey import below, cell_at, names_to_read_by, places
from register.intake.values import stated, text_of

NAMED_BY = ("name", "last_name", "number", "summary")
_CLOCK = re.compile(r"(\d{1,2})(?:[:.h](\d{2})(?::\d{2})?)?\s*(am|pm)?$")
_COMPACT = re.compile(r"(\d{2})(\d{2})$")
_HOURS = re.compile(r"\s*([\d:.h]+\s*(?:am|pm)?)\s*(?:-|–|to|do|bis)\s*([\d:.h]+\s*(?:am|pm)?)\s*$")
_OFF = re.compile(
    r"^(off|rest|rest day|day off|leave|annual leave|holiday|hol|al|sick|absent|training|course|x"
    r"|wolne|w|urlop|uw|l4|chorobowe|nieobecn\w*|szkolenie|dw)$"
)
_SECONDS_A_DAY = 86_400


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """One line. names: who is named, or what may be names within a calendar's own words.

    hours: from and to by the clock on site. moments: as a calendar gives them, with their zone or
    without; days where it lasts all day.
    """

    sheet: str
    line: int
    who: Who
    words: str = ""
    site: str = ""
    zone: str = ""
    shift: str = ""
    day: date | None = None
    hours: tuple[time, time] | None = None
    moments: tuple[datetime | date, datetime | date] | None = None
    is_off: bool = False
    problems: tuple[Problem, ...] = ()

    @property
    def about(self) -> str:
        return " · ".join(filter(None, (self.who.name or self.who.number or self.words, self.site)))


def lines_of(
    sheets: Sheets, mapping: Mapping[str, Guess], *, order: str, left_out: frozenset[str]
) -> Iterator[Stated]:
    for name in names_to_read_by(sheets, mapping, left_out, NAMED_BY):
        found = mapping[name]
        rows = below(sheets.open_sheet(name), found)
        for number, cells in enumerate(rows, start=(found.header_row or 0) + 1):
            one = _stated((name, number), cells, found, order)
            if one is not None:
                yield one


def _stated(place: tuple[str, int], cells: Cells, found: Guess, order: str) -> Stated | None:
    columns = places(found)

    def cell(slug: str) -> Cell:
        return cell_at(cells, columns.get(slug))

    words, who = stated(cell("summary")), who_of(cells, found)
    if who is None and not words:
        return None
    moments, problems = _moments(cell("begins_at"), cell("ends_at"))
    day = date_of(cell("day"), order)
    if moments is None and not problems:
        problems += _against_day(day.problem, day.value.precision, cell("day"))
    shift = stated(cell("shift"))
    hours, against = _hours(cell("begins"), cell("ends"), shift)
    return Stated(
        sheet=place[0],
        line=place[1],
        who=who or Who(""),
        words=words,
        site=stated(cell("site"))[:120],
        zone=stated(cell("zone"))[:120],
        shift="" if hours and _HOURS.match(shift.casefold()) else shift[:40],
        day=day.value.first if day.value.precision == "day" else None,
        hours=hours,
        moments=moments,
        is_off=bool(_OFF.match(normal_heading(shift))),
        problems=(*problems, *against),
    )


def _against_day(code: str, precision: str, cell: Cell) -> tuple[Problem, ...]:
    if code:
        return (Problem(code, "day", {"value": text_of(cell)}),)
    return () if precision == "day" else (Problem("no-day", "day"),)


def _moments(
    begins: Cell, ends: Cell
) -> tuple[tuple[datetime | date, datetime | date] | None, tuple[Problem, ...]]:
    """As ISO texts, for only a calendar of ours writes these columns."""
    if not isinstance(begins, str) or not isinstance(ends, str):
        return None, ()
    try:
        return (_iso(begins), _iso(ends)), ()
    except ValueError:
        return None, (Problem("no-day", "begins_at"),)


def _iso(text: str) -> datetime | date:
    return (
        date.fromisoformat(text) if len(text) == len("2026-03-09") else datetime.fromisoformat(text)
    )


def _hours(
    begins: Cell, ends: Cell, shift: str
) -> tuple[tuple[time, time] | None, tuple[Problem, ...]]:
    """From two cells, or from one that says '06:00–18:00'."""
    both = _HOURS.match(shift.casefold())
    one, two = (both[1], both[2]) if both and begins is None else (begins, ends)
    if one is None and two is None:
        return None, ()
    comes, goes = clock_of(one), clock_of(two)
    if comes is None or goes is None:
        slug, cell = ("begins", one) if comes is None else ("ends", two)
        return None, (Problem("no-hour", slug, {"value": text_of(cell)}),)
    return (comes, goes), ()


def clock_of(cell: Cell) -> time | None:
    """'06:00', '6.30', '0600', '6 pm', 0.25 of a day; None for anything else."""
    if isinstance(cell, datetime):
        return cell.time().replace(microsecond=0)
    if isinstance(cell, int | float) and not isinstance(cell, bool):
        return _of_number(float(cell))
    text = text_of(cell).casefold().strip()
    compact = _COMPACT.match(text)
    found = _CLOCK.match(text)
    if compact:
        return _clock(int(compact[1]), int(compact[2]))
    if not found:
        return None
    hour, minute = int(found[1]), int(found[2] or 0)
    if found[3]:
        if not 1 <= hour <= 12:  # noqa: PLR2004
            return None
        hour = hour % 12 + (12 if found[3] == "pm" else 0)
    return _clock(hour, minute)


def _of_number(number: float) -> time | None:
    if 0 <= number < 1:
        minutes = round(number * _SECONDS_A_DAY / 60)
        return _clock(minutes // 60 % 24, minutes % 60)
    return _clock(int(number), 0) if number.is_integer() else None


def _clock(hour: int, minute: int) -> time | None:
    if hour == 24 and minute == 0:  # noqa: PLR2004
        return time(0)
    return time(hour, minute) if 0 <= hour < 24 and 0 <= minute < 60 else None  # noqa: PLR2004
