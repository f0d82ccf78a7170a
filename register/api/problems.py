"""Every no of the API as problem details (RFC 9457): its kind, its status, a sentence, and where."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from http import HTTPStatus
from typing import TypedDict

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

MEDIA_TYPE = "application/problem+json"


class Mistake(TypedDict, total=False):
    """One mistake in what was sent: where (a JSON pointer into the body, a parameter or a header)
    and what is expected there."""

    pointer: str
    parameter: str
    header: str
    detail: str


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of problem: its status, its name, and what to do about it."""

    status: HTTPStatus
    title: str
    advice: str


KINDS: dict[str, Kind] = {
    "unreadable": Kind(
        HTTPStatus.BAD_REQUEST,
        gettext_noop("The body cannot be read"),
        gettext_noop(
            "The body must be one JSON text in UTF-8, no key twice in an object, finite numbers, and"
            " no more than 20 levels deep. A header may be missing or malformed too: the detail says"
            " which."
        ),
    ),
    "token-not-accepted": Kind(
        HTTPStatus.UNAUTHORIZED,
        gettext_noop("The token is not accepted"),
        gettext_noop(
            "Send ‘Authorization: Bearer’ and the token. It is unknown, past its last day or revoked,"
            " or its owner can sign in no longer. Have a new one made; asking again changes nothing."
        ),
    ),
    "not-allowed": Kind(
        HTTPStatus.FORBIDDEN,
        gettext_noop("This token may not do that"),
        gettext_noop(
            "Either the token was not made for it, or its owner does not hold the role that it takes,"
            " there or at all."
        ),
    ),
    "not-found": Kind(
        HTTPStatus.NOT_FOUND,
        gettext_noop("There is no such thing"),
        gettext_noop(
            "Nothing of this name is at the sites of this token. What is elsewhere and what does not"
            " exist are answered alike."
        ),
    ),
    "method-not-allowed": Kind(
        HTTPStatus.METHOD_NOT_ALLOWED,
        gettext_noop("This address does not answer that method"),
        gettext_noop("The header Allow names the methods that it answers."),
    ),
    "refused": Kind(
        HTTPStatus.CONFLICT,
        gettext_noop("The register refuses"),
        gettext_noop(
            "What was asked can be read, and the rules do not allow it as things are. Nothing was"
            " changed. The detail says why and what to do; ‘code’ is for programs."
        ),
    ),
    "in-flight": Kind(
        HTTPStatus.CONFLICT,
        gettext_noop("The first request with this key is still being answered"),
        gettext_noop("Ask again after the seconds that Retry-After names, with the same key."),
    ),
    "too-large": Kind(
        HTTPStatus.REQUEST_ENTITY_TOO_LARGE,
        gettext_noop("The body is too large"),
        gettext_noop("Send less at a time. The detail names the limit."),
    ),
    "media-type": Kind(
        HTTPStatus.UNSUPPORTED_MEDIA_TYPE,
        gettext_noop("The body is not JSON"),
        gettext_noop("Send it with ‘Content-Type: application/json’."),
    ),
    "unsound": Kind(
        HTTPStatus.UNPROCESSABLE_ENTITY,
        gettext_noop("What was sent is not as it should be"),
        gettext_noop(
            "‘errors’ names each place, and what is expected there. No value is guessed at: a number"
            " is no text, and an unknown key is refused, for it may be a known one mistyped."
        ),
    ),
    "key-used-otherwise": Kind(
        HTTPStatus.UNPROCESSABLE_ENTITY,
        gettext_noop("This key came with another request before"),
        gettext_noop(
            "An Idempotency-Key belongs to one request. Make a new key for each thing to be done, and"
            " keep it for sending that same thing again."
        ),
    ),
    "too-many-requests": Kind(
        HTTPStatus.TOO_MANY_REQUESTS,
        gettext_noop("Too many requests"),
        gettext_noop(
            "Ask again after the seconds that Retry-After names. RateLimit tells what is left."
        ),
    ),
    "fault": Kind(
        HTTPStatus.INTERNAL_SERVER_ERROR,
        gettext_noop("Something went wrong here"),
        gettext_noop(
            "It is no fault of the request, and it is logged. A request that changes something may be"
            " sent again with the same Idempotency-Key."
        ),
    ),
    "busy": Kind(
        HTTPStatus.SERVICE_UNAVAILABLE,
        gettext_noop("The register is busy"),
        gettext_noop("Nothing was changed. Ask again after the seconds that Retry-After names."),
    ),
}


class Problem(Exception):
    """A no, with the sentence for whoever reads it; becomes a response at the edge."""

    def __init__(
        self,
        kind: str,
        detail: str,
        *,
        code: str = "",
        errors: Sequence[Mistake] = (),
        headers: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__(detail)
        self.kind = kind
        self.detail = detail
        self.code = code
        self.errors = list(errors)
        self.headers = dict(headers or {})

    @property
    def told(self) -> dict[str, object]:
        """The members of RFC 9457, 3.1, and ours: ``code`` and ``errors`` (its appendix has both
        a pointer and a detail in each)."""
        kind = KINDS[self.kind]
        said: dict[str, object] = {
            "type": type_of(self.kind),
            "title": _(kind.title),
            "status": int(kind.status),
            "detail": self.detail,
        }
        if self.code:
            said["code"] = self.code
        if self.errors:
            said["errors"] = self.errors
        return said


def type_of(kind: str) -> str:
    """The address of the page that explains this kind of problem."""
    return f"{settings.PUBLIC_URL}/api/problems/#{kind}"


def response_for(problem: Problem) -> HttpResponse:
    """The problem as it is sent."""
    return JsonResponse(
        problem.told,
        status=int(KINDS[problem.kind].status),
        content_type=MEDIA_TYPE,
        headers=problem.headers,
    )


def not_found(detail: str = "") -> Problem:
    return Problem("not-found", detail or _("There is nothing here for this token."))


def unknown_address(_request: HttpRequest, **_rest: str) -> HttpResponse:
    """Whatever lies under the API's address and is no call of it."""
    where = f"{settings.PUBLIC_URL}/api/"
    detail = _("This is no address of the API; %(where)s lists them all.") % {"where": where}
    return response_for(Problem("not-found", detail))
