"""Which day and which shift a page shows, as its address asks."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, time, timedelta
from zoneinfo import ZoneInfo

from django.http import HttpRequest

from readiness.wording import weekday_and_day
from register.clock import now, today
from register.models import Shift, Site

_DAY = timedelta(days=1)


def asked_day(request: HttpRequest) -> date | None:
    """The day in ?on=2026-11-20; None where it is missing or no day."""
    try:
        return date.fromisoformat(request.GET.get("on", ""))
    except ValueError:
        return None


def day_for(request: HttpRequest, site: Site) -> date:
    """The day asked for, else the site's own today."""
    return asked_day(request) or today(site)


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


def keep(shift: Shift | None) -> str:
    """What links to other days carry along."""
    return f"&shift={shift.pk}" if shift else ""


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


def time_at(site: Site) -> str:
    """What a clock on site shows now."""
    return f"{now().astimezone(ZoneInfo(site.time_zone)):%H:%M}"
