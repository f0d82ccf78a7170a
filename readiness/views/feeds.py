"""Calendars elsewhere that the rota follows."""

from __future__ import annotations

from functools import partial

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from readiness.actions.feeds import follow_feed, stop_feed
from readiness.bringing_in import fetch_feed_in_background
from readiness.forms.feeds import FeedForm
from readiness.models import RotaFeed
from register.access import needs, sites_for
from register.models import Site
from register.telling import kept, stamp_of, told_to

NEED = "rota.edit"


@needs(NEED)
def feed_list(request: HttpRequest) -> HttpResponse:
    """The calendars of one site, how old what they say is, and whom they do not name clearly."""
    sites = sites_for(request.user, NEED)  # type: ignore[arg-type]
    site = sites.filter(code=request.GET.get("site", "")).first() or sites.first()
    if site is None:
        return render(request, "readiness/feed_list.html", {"site": None})
    form = FeedForm(request.POST or None, site=site)
    follow = partial(_follow, request, site, form)
    if kept(request, form, follow, _("The calendar is followed. It is asked now.")):
        return redirect(f"{reverse('readiness:feed-list')}?site={site.code}")
    feeds = RotaFeed.objects.followed().filter(site=site).select_related("zone")
    told = {"site": site, "sites": sites, "form": form, "feeds": feeds}
    return render(request, "readiness/feed_list.html", told, status=422 if form.errors else 200)


def _follow(request: HttpRequest, site: Site, form: FeedForm) -> None:
    feed = follow_feed(site, stamp=stamp_of(request), **form.cleaned_data)
    fetch_feed_in_background.enqueue(feed.pk)


def _fetched(request: HttpRequest, pk: int) -> RotaFeed:
    sites = sites_for(request.user, NEED)  # type: ignore[arg-type]
    return get_object_or_404(RotaFeed.objects.select_related("site"), pk=pk, site__in=sites)


@require_POST
@needs(NEED)
def feed_fetch(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask the calendar now rather than at the next round."""
    feed = _fetched(request, pk)
    fetch_feed_in_background.enqueue(feed.pk)
    messages.info(request, _("The calendar is asked. Look again in a moment."))
    return redirect(f"{reverse('readiness:feed-list')}?site={feed.site.code}")


@require_POST
@needs(NEED)
def feed_stop(request: HttpRequest, pk: int) -> HttpResponse:
    """Follow it no more."""
    feed = _fetched(request, pk)
    with told_to(request, _("The calendar is not followed any more. Whom it put on stays.")):
        stop_feed(feed, stamp=stamp_of(request))
    return redirect(f"{reverse('readiness:feed-list')}?site={feed.site.code}")
