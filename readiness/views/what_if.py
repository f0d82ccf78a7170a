"""What a site would be like if: tried out side by side, in the address alone, nothing kept."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, time
from typing import Any

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render

from readiness.board.what_if import Ground, beside, ground_of, moment_of
from readiness.forms.what_if import WhatIfForm
from readiness.rules.what_if_writing import what_if_file
from readiness.rules.windows import moment
from readiness.views.days import around, asked_day
from register.access import fetch, needs, sites_for
from register.clock import now, today
from register.models import Site


def _tried(request: HttpRequest, site: str) -> tuple[Ground, WhatIfForm]:
    place = fetch(Site.objects.all(), request.user, "cover.see", code=site)
    donors = list(sites_for(request.user, "cover.see").exclude(pk=place.pk))
    ground = ground_of(place, donors, asked_day(request) or today(place))
    begun: dict[str, Any] = {"on": ground.day, "at": now().astimezone(ground.here.zone).time()}
    return ground, WhatIfForm(_filled(request, begun), ground=ground, initial=begun)


def _filled(request: HttpRequest, begun: Mapping[str, Any]) -> QueryDict | None:
    """What the address asks, with its day and hour where it names none."""
    if not request.GET:
        return None
    asked = request.GET.copy()
    for name, value in begun.items():
        if not asked.get(name):
            asked[name] = value.isoformat("minutes") if isinstance(value, time) else f"{value}"
    return asked


@needs("cover.see")
def site_what_if(request: HttpRequest, site: str) -> HttpResponse:
    """Each task's line before and after."""
    ground, form = _tried(request, site)
    asked = form.asked()
    shown = {
        "site": ground.site,
        "form": form,
        "rows": beside(ground, asked),
        "asks": asked.asks,
        "query": request.GET.urlencode(),
        "last_on": ground.last,
        **around(ground.day),
    }
    return render(request, "readiness/site_what_if.html", shown)


@needs("cover.see")
def what_if_download(request: HttpRequest, site: str) -> HttpResponse:
    """The chosen moment as a file, which `manage.py what_if` answers the same."""
    ground, form = _tried(request, site)
    at = _asked_moment(form, ground)
    name = f"{ground.site.code} {at.astimezone(ground.here.zone):%Y-%m-%d %H:%M}"
    text = what_if_file([(name, moment_of(ground, form.asked(), at))])
    answer = HttpResponse(text, content_type="application/json; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="what-if-{ground.site.code}.json"'
    return answer


def _asked_moment(form: WhatIfForm, ground: Ground) -> datetime:
    asked = form.cleaned_data.get("at") if form.is_bound and form.is_valid() else None
    hour: time = asked or form.initial["at"]
    return moment(ground.day, hour.replace(second=0, microsecond=0), ground.here.zone)
