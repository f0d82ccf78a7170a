"""The pack of a site: what a phone loads where there is signal, to work where there is none."""

from __future__ import annotations

import json

from django.http import HttpRequest, HttpResponse
from django.utils.cache import get_conditional_response
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from inspections.packs.making import mark_of, site_pack
from inspections.rules.phone_verdict import GOOD_FOR
from readiness.board.sheets import rescue_sheets
from register.access import fetch, may, needs
from register.clock import now
from register.models import Site


@needs("pack.take")
@require_safe
@gzip_page
@ensure_csrf_cookie
def pack(request: HttpRequest, site: str) -> HttpResponse:
    """As JSON; 304 where the phone has the same one. DEVELOPERS.md says what stands in it.

    Without the right to see people, it does not say who holds what.
    """
    place = fetch(Site.objects.all(), request.user, "pack.take", code=site)
    user, at = request.user, now()
    names = may(user, "person.see", place)
    etag = f'W/"{mark_of(place, user, at, names=names)}"'  # type: ignore[arg-type]
    if unchanged := get_conditional_response(request, etag=etag):
        return unchanged
    told = site_pack(place, user, at, names=names)  # type: ignore[arg-type]
    sheets = rescue_sheets(place, at, at + GOOD_FOR)
    body = json.dumps({**told, "sheets": sheets}, separators=(",", ":"), ensure_ascii=False)
    response = HttpResponse(body, content_type="application/json")
    response["Cache-Control"] = "private, no-cache"
    if sheets["fresh"]:
        response["ETag"] = etag  # else a later one may know more of cover, on the same facts
    return response
