"""In which week a due day falls, counted from the week of today; weeks begin on Monday."""

from __future__ import annotations

from datetime import date, timedelta

UNKNOWN = -2
OVERDUE = -1
THIS_WEEK = 0


def week_of(last_good_on: date | None, today: date) -> int:
    """UNKNOWN, OVERDUE, THIS_WEEK for what is left of it, or the number of weeks ahead."""
    if last_good_on is None:
        return UNKNOWN
    if last_good_on < today:
        return OVERDUE
    return (monday_of(last_good_on) - monday_of(today)).days // 7


def monday_of(day: date) -> date:
    """The Monday on or before the day."""
    return day - timedelta(days=day.weekday())


def last_day_of(week: int, today: date) -> date:
    """The Sunday that ends the week so many weeks ahead."""
    return monday_of(today) + timedelta(days=7 * week + 6)
