"""A feed as a calendar program reads it: without a login, by its secret alone."""

from __future__ import annotations

import hashlib
from datetime import datetime

from django.http import HttpRequest, HttpResponse, HttpResponseNotModified
from django.utils import translation
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from readiness.calendars.feeds import Gathered, Rights, gathered
from register import clock
from register.access import open_page, sites_for
from register.actions.calendars import hash_of
from register.calendars.keeping import bring_up_to_date, note_reading
from register.calendars.writing import READ_EVERY, written
from register.models import CalendarFeed, CalendarTold, Person, Site, User
from register.signing_in import SigningIn
from register.throttling import once_more

PER_FEED = 60
"""Readings an hour of one calendar, from all programs of its owner together."""

MISSES = 60
"""Wrong secrets an hour from one address of a network."""


@open_page("calendar programs cannot sign in; whoever knows the secret reads this one feed")
@require_safe
def calendar_feed(request: HttpRequest, secret: str) -> HttpResponse:
    """404 for a secret that is unknown or shut, and nothing else; empty where the right is lost."""
    rows = CalendarFeed.objects.standing().select_related("user__person__home_site", "site")
    feed = rows.filter(secret_hash=hash_of(secret)).first()
    if feed is None:
        if not once_more(f"calendar-misses-{request.META.get('REMOTE_ADDR', '')}", MISSES):
            return _later()
        return HttpResponse(status=404, content_type="text/plain")
    if not once_more(f"calendar-{feed.pk}", PER_FEED):
        return _later()
    with translation.override(feed.language):
        body = written(feed, _title(feed), _told(feed))
    return _answered(request, body)


def _told(feed: CalendarFeed) -> list[CalendarTold]:
    """Nothing for who is shut out or lost the role: the program then drops what it kept."""
    at = clock.now()
    note_reading(feed, at)
    found = _found(feed, at) if SigningIn().user_can_authenticate(feed.user) else None
    if found is None:
        return []
    return bring_up_to_date(feed, (found.happenings, found.unknown), found.today, at)


def _found(feed: CalendarFeed, at: datetime) -> Gathered | None:
    rights = _own(feed.user) if feed.about == CalendarFeed.About.OWN else _rights(feed)
    return gathered(feed, rights, at) if rights else None


def _own(user: User) -> Rights | None:
    """One's own is one's own as long as one holds any role: what one has in hand, at every site."""
    if user.person is None or not user.holdings:
        return None
    person: Person = user.person
    held = list(Site.objects.filter(items__holder=person).distinct())
    visited = list(Site.objects.filter(visits__inspector=person).distinct())
    return Rights(dues=held, visits=visited, lapses=())


def _rights(feed: CalendarFeed) -> Rights | None:
    needs = ("due.see", "work.see", "lapse.see")
    sites = [list(_asked(feed, sites_for(feed.user, need))) for need in needs]
    return Rights(*sites) if any(sites) else None


def _asked(feed: CalendarFeed, sites: object) -> object:
    return sites.filter(pk=feed.site_id) if feed.site_id else sites  # type: ignore[attr-defined]


def _title(feed: CalendarFeed) -> str:
    return _("Tallyhook: %(what)s") % {"what": feed}


def _answered(request: HttpRequest, body: bytes) -> HttpResponse:
    tag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    seen = [
        one.strip().removeprefix("W/")
        for one in request.headers.get("If-None-Match", "").split(",")
    ]
    response: HttpResponse
    if tag in seen:
        response = HttpResponseNotModified()
    else:
        response = HttpResponse(body, content_type="text/calendar; charset=utf-8")
        response["Content-Disposition"] = 'inline; filename="tallyhook.ics"'
    response["ETag"] = tag
    response["Cache-Control"] = "private, no-cache"
    return response


def _later() -> HttpResponse:
    """429 with the time after which to ask again."""
    response = HttpResponse(status=429, content_type="text/plain")
    response["Retry-After"] = str(int(READ_EVERY.total_seconds()))
    return response
