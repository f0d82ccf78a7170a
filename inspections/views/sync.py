"""Where a phone sends what it wrote without signal; answers in JSON, also to who is not signed in."""

from __future__ import annotations

import json
from functools import partial
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from inspections.rules.sent_events import MOST_BYTES, MOST_EVENTS, moment_in
from inspections.sync.photos import MOST_BYTES as MOST_PHOTO_BYTES
from inspections.sync.photos import take_photo
from inspections.sync.replies import replied
from inspections.sync.taking_in import Sender, take_in
from register import clock
from register.access import answers_json, may, sites_for
from register.refusal import Refusal


@answers_json("sync.send")
@never_cache
@require_http_methods(["GET", "POST"])
def sync_events(request: HttpRequest) -> HttpResponse:
    """GET: who is signed in, the server's time, the token to post with and the sites with a pack.

    POST: events come in."""
    if request.method == "GET":
        now = clock.now().isoformat()
        user = {"id": request.user.pk, "name": str(request.user)}
        sites = list(sites_for(request.user, "pack.take").order_by("name").values("code", "name"))
        told = {"user": user, "now": now, "token": get_token(request), "sites": sites}
        return JsonResponse(told)
    if _length(request) > MOST_BYTES:
        return _problem(413, "too-large", _("Send fewer events at a time."))
    try:
        told = json.loads(request.body)
    except (ValueError, RecursionError):  # not one event can be told from another: kept whole
        text = request.body.decode("utf-8", "replace")
        told = {"events": [text]} if text.strip() else {}
    values = told.get("events") if isinstance(told, dict) else None
    if not isinstance(values, list) or not values:
        return _problem(400, "events-missing", _("There is no event in what was sent."))
    if len(values) > MOST_EVENTS:
        return _problem(413, "too-many", _("Send fewer events at a time."))
    sender = sender_of(request, told)
    return JsonResponse(replied(take_in(values, sender), sender))


@answers_json("sync.send")
@never_cache
@require_POST
def sync_photos(request: HttpRequest) -> HttpResponse:
    """One photograph, as the file ``photo`` with its ``sha256``; events that waited for it are done."""
    sent = request.FILES.get("photo")
    if sent is None:
        return _problem(400, "photo-missing", _("There is no photograph in what was sent."))
    if (sent.size or 0) > MOST_PHOTO_BYTES:
        return _problem(413, "too-large", _("The photograph is too large."))
    sha256 = str(request.POST.get("sha256", "")).lower()
    sender = sender_of(request, request.POST)
    try:
        kept = take_photo(sent.read(), sha256=sha256, sender=sender)
    except Refusal as refusal:
        return _problem(400, refusal.code, refusal.sentence)
    return JsonResponse({"sha256": kept.sha256})


def sender_of(request: HttpRequest, told: Any) -> Sender:
    """The user of the request, with the roles of the one table, and what the phone says of itself."""
    device = told.get("device")
    user: Any = request.user
    return Sender(
        user=user,
        may=partial(may, user),
        received_at=clock.now(),
        device=device[:60] if isinstance(device, str) else "",
        sent_at=moment_in(told.get("sent_at")),
    )


def _length(request: HttpRequest) -> int:
    try:
        return int(request.META.get("CONTENT_LENGTH") or 0)
    except ValueError:
        return MOST_BYTES + 1


def _problem(status: int, code: str, sentence: str) -> JsonResponse:
    return JsonResponse({"code": code, "sentence": sentence}, status=status)
