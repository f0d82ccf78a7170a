"""Hours and days to come, as people on site call them: 'tonight 22:00–06:00', 'from Thu 12 Mar'."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from register.wording import shown_day

EVENING = time(18)
"""Hours that begin now or later are 'tonight'."""

_DAY = timedelta(days=1)


def clock_words(moment: datetime, zone: ZoneInfo) -> str:
    """'06:42', by the clock on site."""
    return f"{moment.astimezone(zone):%H:%M}"


def short_day(day: date) -> str:
    """'Fri 6 Mar'; within the months ahead the year says nothing."""
    return shown_day(day, "WEEKDAY")


def moment_words(moment: datetime, now: datetime, zone: ZoneInfo) -> str:
    """'today 22:00', 'Thu 12 Mar 06:00', and for a day's first moment the day alone."""
    there, today = moment.astimezone(zone), now.astimezone(zone).date()
    if there.date() == today:
        return _("today %(at)s") % {"at": f"{there:%H:%M}"}
    if there.time() == time(0):
        return short_day(there.date())
    words = {"day": _named(there.date(), today), "at": f"{there:%H:%M}"}
    return _("%(day)s %(at)s") % words


def hours_words(begins: datetime, ends: datetime, now: datetime, zone: ZoneInfo) -> str:
    """The hours of one piece: 'now until 06:00', 'tonight 22:00–06:00', 'Thu 12 Mar 06:00–14:00'."""
    first, last = begins.astimezone(zone), ends.astimezone(zone)
    if begins <= now < ends:
        if ends - now < _DAY:
            return _("now until %(at)s") % {"at": f"{last:%H:%M}"}
        return _("now until %(moment)s") % {"moment": moment_words(ends, now, zone)}
    opening = _opening(first, now.astimezone(zone).date())
    if ends - begins <= _DAY:
        return f"{opening} {first:%H:%M}–{last:%H:%M}"
    words = {"opening": opening, "at": f"{first:%H:%M}", "end": moment_words(ends, now, zone)}
    return _("%(opening)s %(at)s until %(end)s") % words


def _opening(first: datetime, today: date) -> str:
    late = first.time() >= EVENING
    if first.date() == today:
        return _("tonight") if late else _("today")
    if late and first.date() == today + _DAY:
        return _("tomorrow night")
    return _named(first.date(), today)


def _named(day: date, today: date) -> str:
    return _("tomorrow") if day == today + _DAY else short_day(day)
