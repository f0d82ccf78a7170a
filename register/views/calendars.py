"""One's calendar addresses: made, each shown once, given anew, shut."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from register.access import needs
from register.actions.calendars import make_feed, new_secret, renew_feed, revoke_feed
from register.forms.calendars import CalendarForm
from register.models import CalendarFeed
from register.telling import kept, stamp_of, told_to

NEED = "calendar.have"
HERE = frozenset({"localhost", "127.0.0.1", "::1"})


@never_cache
@needs(NEED)
def calendar_list(request: HttpRequest) -> HttpResponse:
    """One's calendars, and a form for one more; its address stands in the answer and nowhere else."""
    form = CalendarForm(request.POST or None, user=request.user)
    secret = new_secret()
    said = _("The calendar is made.")
    if kept(request, form, lambda: _made(request, form, secret), said):
        return _shown_once(request, secret)
    feeds = CalendarFeed.objects.visible_to(request.user).standing().select_related("site")
    shown = {"feeds": feeds, "form": form, "has_person": bool(request.user.person_id)}
    return render(request, "register/calendar_list.html", shown, status=422 if form.errors else 200)


@never_cache
@require_POST
@needs(NEED)
def calendar_renew(request: HttpRequest, pk: str) -> HttpResponse:
    """Another address for the same calendar; the old one shows nothing any more."""
    feed, secret = _own(request, pk), new_secret()
    with told_to(request, _("The old address shows nothing any more.")):
        renew_feed(feed, secret=secret, stamp=stamp_of(request))
    return _shown_once(request, secret)


@require_POST
@needs(NEED)
def calendar_revoke(request: HttpRequest, pk: str) -> HttpResponse:
    with told_to(request, _("The calendar is shut. Remove it from your calendar program too.")):
        revoke_feed(_own(request, pk), stamp=stamp_of(request))
    return redirect("register:calendar-list")


def _made(request: HttpRequest, form: CalendarForm, secret: str) -> CalendarFeed:
    return make_feed(
        request.user,
        language=get_language() or settings.LANGUAGE_CODE,
        secret=secret,
        stamp=stamp_of(request),
        **form.cleaned_data,
    )


def _own(request: HttpRequest, pk: str) -> CalendarFeed:
    return get_object_or_404(CalendarFeed.objects.visible_to(request.user).standing(), pk=pk)


def _shown_once(request: HttpRequest, secret: str) -> HttpResponse:
    address = f"{settings.PUBLIC_URL}{reverse('readiness:calendar-feed', args=[secret])}"
    shown = {"address": address, "only_here": settings.PUBLIC_HOST in HERE}
    return render(request, "register/calendar_address.html", shown)
