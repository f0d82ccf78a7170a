"""Which day, hour and shift a page shows, as its address asks."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.http import HttpRequest

from readiness.board.sites import COUNTS, Asked
from readiness.rules.windows import moment
from readiness.wording import weekday_and_day
from register.clock import now
from register.models import Shift, Site

_DAY = timedelta(days=1)


def asked_day(request: HttpRequest) -> date | None:
    """The day in ?on=2026-11-20; None where it is missing or no day."""
    try:
        return date.fromisoformat(request.GET.get("on", ""))
    except ValueError:
        return None


def shift_for(request: HttpRequest, shifts: Sequence[Shift], site: Site) -> Shift | None:
    """The shift in ?shift=3, else the one that runs now, else the first; None without any."""
    asked = request.GET.get("shift", "")
    chosen = [shift for shift in shifts if str(shift.pk) == asked]
    moment = now().astimezone(ZoneInfo(site.time_zone)).time()
    running = [shift for shift in shifts if runs_at(shift, moment)]
    return next(iter([*chosen, *running, *shifts]), None)


def runs_at(shift: Shift, moment: time) -> bool:
    """Whether the shift of this same day runs at that time of the day."""
    past_midnight = shift.ends <= shift.begins
    return shift.begins <= moment and (past_midnight or moment < shift.ends)


def asked_time(request: HttpRequest) -> time | None:
    """The hour in ?at=22:00; None where it is missing or no hour."""
    try:
        return time.fromisoformat(request.GET.get("at", "")).replace(second=0, tzinfo=None)
    except ValueError:
        return None


def asked_of(request: HttpRequest, site: Site, at: datetime) -> Asked:
    """The day and the hour asked for by the clock on site, else now; and how many days are drawn."""
    zone = ZoneInfo(site.time_zone)
    there = at.astimezone(zone)
    day, hour = asked_day(request), asked_time(request)
    chosen = moment(day or there.date(), hour or there.time(), zone)
    if hour is None and (day is None or day == there.date()):
        chosen = at
    counts = [count for count in COUNTS if str(count) == request.GET.get("days")]
    return Asked(day or there.date(), chosen, next(iter(counts), COUNTS[0]))


def monday_of(day: date) -> date:
    return day - day.weekday() * _DAY


def around(day: date) -> dict[str, object]:
    """What the day chooser shows."""
    return {
        "day": day,
        "day_words": weekday_and_day(day),
        "day_before": day - _DAY,
        "day_after": day + _DAY,
    }


def asked_words(asked: Asked, site: Site) -> dict[str, object]:
    """What the chooser of day, hour and length shows."""
    hour = f"{asked.moment.astimezone(ZoneInfo(site.time_zone)):%H:%M}"
    return {"asked": asked, "hour": hour, "counts": COUNTS, **around(asked.day)}


def time_at(site: Site, at: datetime) -> str:
    """What a clock on site shows."""
    return f"{at.astimezone(ZoneInfo(site.time_zone)):%H:%M}"
