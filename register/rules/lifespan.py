"""Calendar months, made dates known only roughly, and the last day of an item's life."""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from register.rules.texts import gettext_noop

Precision = Literal["day", "week", "month", "year", "unknown"]

PRECISIONS: dict[str, str] = {
    "day": gettext_noop("To the day"),
    "week": gettext_noop("To the week"),
    "month": gettext_noop("To the month"),
    "year": gettext_noop("To the year"),
    "unknown": gettext_noop("Not known"),
}
PRECISION_CHOICES: tuple[tuple[str, str], ...] = tuple(PRECISIONS.items())

_ISO_FORMS = re.compile(r"(\d{4})(?:-(\d{2})(?:-(\d{2}))?|-W(\d{2}))?")


@dataclass(frozen=True, slots=True)
class DateSpan:
    """The days an item may have been made on, both ends included; None where unknown.

    Life is counted from the first day; a safety notice looks at the whole span.
    """

    first: date | None
    last: date | None
    precision: Precision

    def overlaps(self, first: date, last: date) -> bool:
        """Whether a day from first to last is possible; an unknown span overlaps everything."""
        if self.first is None or self.last is None:
            return True
        return self.first <= last and first <= self.last


UNKNOWN_SPAN = DateSpan(None, None, "unknown")


def add_months(day: date, months: int) -> date:
    """The corresponding day, or the last day of a month too short for it.

    The corresponding date rule of Dodds v Walker [1981]; counted from the day itself each time,
    never from an earlier due day, so that no month end sticks.
    """
    year, month0 = divmod(day.year * 12 + day.month - 1 + months, 12)
    last = calendar.monthrange(year, month0 + 1)[1]
    return date(year, month0 + 1, min(day.day, last))


def span_of(
    precision: Precision,
    year: int = 0,
    *,
    month: int = 0,
    week: int = 0,
    day: int = 0,
) -> DateSpan:
    """The span of a made date as marked; ValueError where there is no such day, week or month."""
    if precision == "unknown":
        return UNKNOWN_SPAN
    if precision == "year":
        return DateSpan(date(year, 1, 1), date(year, 12, 31), precision)
    if precision == "month":
        first = date(year, month, 1)
        return DateSpan(first, add_months(first, 1) - timedelta(days=1), precision)
    if precision == "week":
        monday = date.fromisocalendar(year, week, 1)
        return DateSpan(monday, monday + timedelta(days=6), precision)
    known = date(year, month, day)
    return DateSpan(known, known, "day")


def read_span(text: str) -> DateSpan:
    """The span of '2023', '2023-05', '2023-W14', '2023-05-09' or ''; ValueError for the rest."""
    plain = text.strip().upper()
    if not plain:
        return UNKNOWN_SPAN
    form = _ISO_FORMS.fullmatch(plain)
    if form is None:
        raise ValueError(f"{text!r} is not a year, month, week or day such as 2023-05 or 2023-W14")
    year, month, day, week = (int(part or 0) for part in form.groups())
    if form[4]:
        return span_of("week", year, week=week)
    if form[3]:
        return span_of("day", year, month=month, day=day)
    return span_of("month", year, month=month) if form[2] else span_of("year", year)


def last_day_of_life(
    made: DateSpan,
    first_used_on: date | None,
    *,
    from_made_months: int | None = None,
    from_first_use_months: int | None = None,
) -> date | None:
    """The earlier end of both lives, itself a good day; None without a limit or a made date.

    An item of unknown first use is taken to have been used since it was made.
    """
    starts = (
        (made.first, from_made_months),
        (first_used_on or made.first, from_first_use_months),
    )
    ends = [None if day is None else add_months(day, n) for day, n in starts if n is not None]
    return None if not ends or None in ends else min(day for day in ends if day)
