"""The weeks ahead of a site: what will be short, and by when to act on it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from readiness.board.weeks_ahead import ahead_of
from register.access import fetch, needs
from register.clock import today
from register.models import Site

QUARTER = 13


@needs("cover.see")
def site_ahead(request: HttpRequest, site: str) -> HttpResponse:
    """A quarter of weeks: what will be short, and by when to act on it."""
    place = fetch(Site.objects.all(), request.user, "cover.see", code=site)
    day = today(place)
    shown = {"site": place, "weeks": ahead_of(place, day, QUARTER), "quarter": QUARTER}
    return render(request, "readiness/site_ahead.html", shown)
