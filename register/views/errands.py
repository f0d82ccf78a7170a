"""One's own errands: how far each is, stopping it, asking again, and fetching what came of it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from register import clock, tasks
from register.access import may, may_everywhere, needs
from register.actions.errands import hash_of, stop_errand
from register.errands import Kind, kind_of, words_of
from register.models import Errand, Site, User
from register.refusal import Refusal
from register.telling import stamp_of, told_to

NEED = "errand.see"
A_PAGE = 100


def send_off(
    request: HttpRequest, kind: Kind, given: Mapping[str, object], sites: list[Site]
) -> HttpResponse:
    """Ask for an errand on behalf of who posts the page, and lead to how far it is.

    Raises PermissionDenied where they may not at each of the sites, and Refusal for too many.
    """
    user = _user(request)
    if not all(may(user, kind.need, site) for site in sites):
        raise PermissionDenied
    if not sites and not may_everywhere(user, kind.need):
        raise PermissionDenied
    errand = tasks.ask(kind, given, by=user, sites=sites, stamp=stamp_of(request))
    return redirect("register:errand-detail", errand.pk)


@needs(NEED)
def errand_list(request: HttpRequest) -> HttpResponse:
    """What this user has asked for, the newest first."""
    now = clock.now()
    found = Errand.objects.visible_to(_user(request))[:A_PAGE]
    rows = [(errand, words_of(errand), errand.waits_for_its_asker(now)) for errand in found]
    return render(request, "register/errand_list.html", {"rows": rows})


@needs(NEED)
def errand_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """How far it is; asked again every second where scripts run."""
    errand = _own(request, pk)
    part = "register/_errand.html" if getattr(request, "htmx", False) else ""
    page = {"errand": errand, "words": words_of(errand), **_standing(errand, clock.now())}
    page["may_fetch"] = _still_may(_user(request), errand)
    return render(request, part or "register/errand_detail.html", page)


def _standing(errand: Errand, now: datetime) -> dict[str, object]:
    """What the page tells of an errand beside its row."""
    open_ones = Errand.objects.open().exclude(pk=errand.pk)
    others_move = any(not other.is_quiet(now) for other in open_ones.filter(state="running"))
    before = open_ones.filter(asked_at__lt=errand.asked_at).count()
    return {
        "quiet": errand.is_quiet(now) and (errand.state == "running" or not others_move),
        "before": before if errand.state == Errand.State.ASKED else 0,
        "waits": errand.waits_for_its_asker(now),
    }


@needs(NEED)
@require_POST
def errand_stop(request: HttpRequest, pk: int) -> HttpResponse:
    """End it; what it made so far is thrown away."""
    with told_to(request, _("It is stopped.")):
        stop_errand(_own(request, pk), stamp=stamp_of(request))
    return redirect("register:errand-detail", pk)


@needs(NEED)
@require_POST
def errand_again(request: HttpRequest, pk: int) -> HttpResponse:
    """Begin it anew, where it failed, was stopped, has expired, or nobody works on it."""
    errand = _own(request, pk)
    if kind_of(errand) and not _still_may(_user(request), errand):
        raise PermissionDenied
    with told_to(request, _("It is asked for again.")):
        tasks.ask_again(errand, stamp=stamp_of(request))
    return redirect("register:errand-detail", pk)


@needs(NEED)
def errand_result(request: HttpRequest, pk: int) -> HttpResponse:
    """The result as a download: for its asker, while they may at every site of which it tells."""
    errand = _own(request, pk)
    if not errand.waits_for_its_asker(clock.now()):
        messages.info(request, _("There is no result to fetch."))
        return redirect("register:errand-detail", pk)
    if not _still_may(_user(request), errand):
        raise PermissionDenied
    try:
        _refuse_damaged(errand)
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect("register:errand-detail", pk)
    response = FileResponse(
        errand.file.open("rb"),
        as_attachment=True,
        filename=errand.name,
        content_type=errand.content_type,
    )
    response["Cache-Control"] = "no-store"
    return response  # type: ignore[return-value]  # a response that streams


def _refuse_damaged(errand: Errand) -> None:
    """What lies on the disk is what was made, byte for byte."""
    try:
        sound = hash_of(errand) == errand.sha256
    except OSError:
        sound = False
    if not sound:
        told = _("The file is missing or damaged on the server. Ask for it again.")
        raise Refusal("damaged", told)


def _own(request: HttpRequest, pk: int) -> Errand:
    return get_object_or_404(Errand.objects.visible_to(_user(request)), pk=pk)


def _still_may(user: User, errand: Errand) -> bool:
    """Whether the user holds the kind's need at every site of the errand; without a site, at all."""
    kind, sites = kind_of(errand), list(errand.sites.all())
    if kind is None:
        return False
    if not sites:
        return may_everywhere(user, kind.need)
    return all(may(user, kind.need, site) for site in sites)


def _user(request: HttpRequest) -> User:
    user: User = request.user  # type: ignore[assignment]
    return user
