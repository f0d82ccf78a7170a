"""A list as a file: the same need, the same rows and the same filters as the page it belongs to."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.db.models import QuerySet
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import URLPattern, path, reverse

from register import clock
from register.access import needs, sites_for
from register.lists.listing import Asked, Asking, Listing
from register.lists.long import given_for, kind_for
from register.lists.made import FORMS, USUAL, file_of, name_of
from register.models import Site
from register.refusal import Refusal
from register.views.errands import send_off

AS = "as"  # ?as=ods, beside the filters of the page


def files(*listings: Listing) -> list[URLPattern]:
    """An address for each list, called after it: 'kits-file'."""
    return [path(one.address, _view_of(one), name=f"{one.name}-file") for one in listings]


def _view_of(listing: Listing) -> Callable[..., HttpResponse]:
    def view(request: HttpRequest, **named: Any) -> HttpResponse:
        asking = Asking(request.user, request.GET, clock.now(), named)  # type: ignore[arg-type]
        try:
            return _answer(request, listing, asking)
        except Refusal as refusal:
            messages.error(request, refusal.sentence)
            return redirect(_page_of(listing, asking))

    view.__name__ = f"{listing.name}-file".replace("-", "_")
    view.__doc__ = f"The list '{listing.name}' as a file."
    return needs(listing.need)(view)


def _answer(request: HttpRequest, listing: Listing, asking: Asking) -> HttpResponse:
    """The file; of a long list the page that offers to make it in the background, and does on posting."""
    said = request.GET.get(AS, USUAL)
    form = said if said in FORMS else USUAL
    asked = listing.ask(asking)
    if asked.count <= listing.at_once:
        return _sent(listing, asked, form, asking)
    if request.method == "POST":
        sites = list(_sites(listing, asking))
        return send_off(request, kind_for(listing), given_for(form, asking), sites)
    page = {"list": listing, "asked": asked, "page": _page_of(listing, asking)}
    return render(request, "register/list_long.html", page)


def _sites(listing: Listing, asking: Asking) -> QuerySet[Site]:
    """Those of which the file tells: the one its address names, else all where the user may."""
    sites = sites_for(asking.user, listing.need).order_by("pk")
    return sites.filter(code=asking.named["site"]) if "site" in asking.named else sites


def _sent(listing: Listing, asked: Asked, said: str, asking: Asking) -> HttpResponse:
    form = FORMS[said]
    sent = FileResponse(
        file_of(listing, asked, form, asking.at),
        as_attachment=True,
        filename=name_of(listing, form, asking.at),
        content_type=form.content_type,
    )
    sent["Cache-Control"] = "no-store"
    return sent  # type: ignore[return-value]  # a response that streams


def _page_of(listing: Listing, asking: Asking) -> str:
    """The page, with its filters as they were: it says beside the field what is wrong."""
    given = asking.given.copy()
    given.pop(AS, None)
    return f"{reverse(listing.page, kwargs=dict(asking.named))}?{given.urlencode()}"
