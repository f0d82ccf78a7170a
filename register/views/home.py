"""The first page of each role, the health page, and the choice of a language."""

from __future__ import annotations

from django.db import connection
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.views.decorators.csrf import csrf_exempt
from django.views.i18n import set_language

from register.access import may, needs, open_page

FIRST_PAGES = (
    ("item.receive", "inspections:hatch"),
    ("inspection.record", "inspections:inspect"),
    ("cover.see", "readiness:morning"),
)


@needs("item.see")
def home(request: HttpRequest) -> HttpResponse:
    """To the page the user's role begins its day with."""
    return redirect(next(page for need, page in FIRST_PAGES if may(request.user, need)))


@open_page("a monitor asks it, and it tells nothing but that the database answers")
def health(request: HttpRequest) -> HttpResponse:
    """Says that the program and its database answer."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return JsonResponse({"answers": True})


@open_page("who cannot read the page cannot sign in; it changes a cookie of the reader alone")
@csrf_exempt  # so that the page behind a tag needs no token, and sets no cookie
def language(request: HttpRequest) -> HttpResponse:
    """Keeps the chosen language in a cookie, and goes back to the page it was chosen on."""
    return set_language(request)
