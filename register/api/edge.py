"""Around every call: HEAD and ETag, sizes, and a problem for whatever ninja or Django would say else."""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Callable
from functools import wraps
from http import HTTPStatus
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase, HttpResponseNotAllowed
from django.urls import URLPattern
from django.utils.cache import patch_vary_headers
from django.utils.http import parse_etags
from django.utils.translation import gettext as _
from django.views.decorators.csrf import csrf_exempt

from register.api.problems import Problem, response_for
from register.api.reading import MOST_BYTES

logger = logging.getLogger(__name__)
View = Callable[..., HttpResponseBase]


def guarded(patterns: list[URLPattern]) -> list[URLPattern]:
    """The same addresses, each with all of this around it."""
    for pattern in patterns:
        pattern.callback = around(pattern.callback)
    return patterns


def around(view: View) -> View:
    """Neither a login nor a CSRF token is asked for: a token alone opens a call, and no browser
    sends one by itself."""

    @wraps(view)
    def answered(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        is_head = request.method == "HEAD"
        if is_head:
            request.method = "GET"
        try:
            _refuse_unreadable(request, kwargs)
            response = view(request, *args, **kwargs)
        except Problem as problem:
            response = response_for(problem)
        return _finished(request, _told(request, response), is_head=is_head)

    return csrf_exempt(login_not_required(answered))


def _refuse_unreadable(request: HttpRequest, told: dict[str, Any]) -> None:
    """Too large to be read, or with a character that no database holds."""
    try:
        length = int(request.META.get("CONTENT_LENGTH") or 0)
    except ValueError:
        raise Problem("unreadable", _("Content-Length is no number.")) from None
    if length > MOST_BYTES:
        raise too_large()
    if any("\x00" in str(value) for value in told.values()):
        raise Problem("not-found", _("There is nothing here for this token."))
    if any("\x00" in name + value for name, value in request.GET.items()):
        raise Problem("unsound", _("There is a character in the query that cannot be read."))


def too_large(most: int = MOST_BYTES) -> Problem:
    return Problem("too-large", _("At most %(n)d bytes are taken here.") % {"n": most})


def _told(request: HttpRequest, response: HttpResponseBase) -> HttpResponseBase:
    """405 in our words; HEAD is answered wherever GET is."""
    if not isinstance(response, HttpResponseNotAllowed):
        return response
    allowed = set(response["Allow"].split(", "))
    allowed |= {"HEAD"} if "GET" in allowed else set()
    words = ", ".join(sorted(allowed))
    detail = _("%(method)s is not answered here, but: %(allowed)s.") % {
        "method": (request.method or "")[:20],
        "allowed": words,
    }
    return response_for(Problem("method-not-allowed", detail, headers={"Allow": words}))


def _finished(
    request: HttpRequest, response: HttpResponseBase, *, is_head: bool
) -> HttpResponseBase:
    if count := getattr(request, "api_count", None):
        for name, value in count.headers.items():
            response.headers.setdefault(name, value)
    response["Cache-Control"] = (
        "private, no-cache" if response.status_code == HTTPStatus.OK else "no-store"
    )
    patch_vary_headers(response, ["Authorization", "Accept-Language"])
    if request.method == "GET" and response.status_code == HTTPStatus.OK:
        response = _unless_known(request, response)
    if is_head and isinstance(response, HttpResponse):
        length = len(response.content)
        response.content = b""
        response["Content-Length"] = str(length)
    return response


def _unless_known(request: HttpRequest, response: HttpResponseBase) -> HttpResponseBase:
    """304 where the asker has the very same words (RFC 9110, 13.1.2). It spares the way, not the
    work: whether anything changed is known only once it is asked."""
    digest = hashlib.sha256(getattr(response, "content", b"")).hexdigest()[:32]
    response["ETag"] = f'"{digest}"'
    known = parse_etags(request.headers.get("If-None-Match", ""))
    if not {"*", f'"{digest}"', f'W/"{digest}"'} & set(known):
        return response
    kept = ("ETag", "Cache-Control", "Vary", "RateLimit", "RateLimit-Policy", "Content-Language")
    headers = {name: response[name] for name in kept if name in response}
    unchanged = HttpResponse(status=HTTPStatus.NOT_MODIFIED, headers=headers)
    del unchanged["Content-Type"]
    return unchanged


def fault_of(error: Exception) -> Problem:
    """An exception that nobody foresaw; its words stay in the log."""
    if isinstance(error, RequestDataTooBig):
        return too_large()
    logger.error("A call of the API failed.", exc_info=error)
    return Problem("fault", _("Something went wrong here, and it is logged."))
