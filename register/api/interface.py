"""The one interface that all calls hang on; which rooms bring calls is told in ``register.conf.urls``."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import OperationalError
from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from ninja import NinjaAPI
from ninja.errors import HttpError, ValidationError

from register.api.bearer import TokenBearer
from register.api.edge import fault_of
from register.api.mistakes import problem_of
from register.api.problems import Problem, not_found, response_for
from register.api.reading import StrictParser
from register.refusal import Refusal

logger = logging.getLogger(__name__)
VERSION = "1.0.0"

api = NinjaAPI(
    title="Tallyhook",
    version=VERSION,
    urls_namespace="api",
    openapi_url=None,
    docs_url=None,
    auth=TokenBearer(),
    parser=StrictParser(),
)


def _as_it_is(problem: Problem) -> Problem:
    return problem


def _of_ninja(error: HttpError) -> Problem:
    """Ninja hides what our reader of bodies says behind a 400 of its own."""
    cause = error.__cause__
    return cause if isinstance(cause, Problem) else fault_of(error)


def _refused(refusal: Refusal) -> Problem:
    return Problem("refused", refusal.sentence, code=refusal.code)


def _forbidden(_error: PermissionDenied) -> Problem:
    detail = _("The owner of this token holds no role here that may do this.")
    return Problem("not-allowed", detail, code="role")


def _busy(error: OperationalError) -> Problem:
    logger.warning("A call of the API found the database busy: %s", error)
    detail = _("The register is busy with something else. Ask again.")
    return Problem("busy", detail, headers={"Retry-After": "1"})


PROBLEM_OF: dict[type[Exception], Callable[[Any], Problem]] = {
    Problem: _as_it_is,
    HttpError: _of_ninja,
    ValidationError: lambda error: problem_of(error.errors),
    Refusal: _refused,
    Http404: lambda _error: not_found(),
    PermissionDenied: _forbidden,
    OperationalError: _busy,
    Exception: fault_of,
}
"""Whatever stops a call, as a problem; the nearest kind of the exception is asked."""


def _told(make: Callable[[Any], Problem]) -> Callable[[HttpRequest, Any], HttpResponse]:
    return lambda _request, error: response_for(make(error))


for kind, make in PROBLEM_OF.items():
    api.add_exception_handler(kind, _told(make))
