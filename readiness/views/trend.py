"""The year behind: how many shifts of tasks were covered, week by week."""

from __future__ import annotations

from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from readiness.board.past import Week, weeks
from readiness.models import PastShift
from readiness.rules.columns import columns
from register.access import needs, sites_for
from register.clock import now

YEAR = 53
WIDTH, HEIGHT = 636, 120


@needs("cover.see")
def trend(request: HttpRequest) -> HttpResponse:
    """A year of weeks, of all the user's sites or of one: how many shifts were covered."""
    sites = sites_for(request.user, "cover.see")
    site = sites.filter(code=request.GET.get("site", "")).first()
    rows = PastShift.objects.filter(site__in=[site] if site else sites)
    found = weeks(rows, now().date() - timedelta(days=1), YEAR)
    shown = {
        "sites": sites,
        "site": site,
        "weeks": found[::-1],
        "any": any(week.shifts for week in found),
        "columns": [one for one in columns([_pair(week) for week in found], WIDTH, HEIGHT) if one],
        "width": WIDTH,
        "height": HEIGHT,
    }
    return render(request, "readiness/trend.html", shown)


def _pair(week: Week) -> tuple[float, float] | None:
    return (week.covered / week.shifts, week.backed / week.shifts) if week.shifts else None
