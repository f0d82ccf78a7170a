"""A request sent twice acts once (draft-ietf-httpapi-idempotency-key-header).

The key is claimed in a transaction of its own, so that on any database a second request sees the
first under way. Whoever claimed last alone may finish: the answer is kept in the same transaction as
the act, and one whose claim was taken over in the meantime is undone.
"""

from __future__ import annotations

import hashlib
import re
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from register.api.bearer import Caller
from register.api.problems import MEDIA_TYPE, Problem, response_for
from register.models import KeptAnswer
from register.refusal import Refusal

KEPT_FOR = timedelta(days=7)
CLAIM_HOLDS = timedelta(seconds=90)
"""Longer than any request takes; after it whoever claimed is taken for gone, and the next may."""

_PLAIN = r"[\x21\x23-\x5b\x5d-\x7e]{1,200}"
_KEY = re.compile(
    rf'"({_PLAIN})"|({_PLAIN})'
)  # a string of RFC 9651, or the same without its quotes


@dataclass(frozen=True, slots=True)
class InOne:
    """The call is one transaction: act and answer are kept together or not at all. It needs a key."""


@dataclass(frozen=True, slots=True)
class ByEvent:
    """The call commits event by event, each once by its own id; a key is welcome, and not needed."""


@dataclass(frozen=True, slots=True)
class _Claim:
    row: KeptAnswer
    token: uuid.UUID


class _Overtaken(Exception):
    """Another request took the claim over while this one was at work: nothing of this one stays."""


def done_once(
    request: HttpRequest, caller: Caller, how: InOne | ByEvent, act: Callable[[], HttpResponse]
) -> HttpResponse:
    """The answer of the act, or the one that was given to this key before."""
    key = key_of(request)
    if key is None:
        if isinstance(how, InOne):
            raise _key_missing()
        return act()
    KeptAnswer.objects.filter(begun_at__lte=caller.at - KEPT_FOR).delete()  # no job at night
    claimed = _claimed(request, caller, key)
    if isinstance(claimed, HttpResponse):
        return claimed
    try:
        return _in_one(claimed, act) if isinstance(how, InOne) else _by_event(claimed, act)
    except _Overtaken as error:
        raise _in_flight() from error
    except Exception:
        KeptAnswer.objects.filter(pk=claimed.row.pk, claim=claimed.token, status=None).delete()
        raise


def _in_one(claim: _Claim, act: Callable[[], HttpResponse]) -> HttpResponse:
    """A refusal is an answer too, and kept; what it tried is undone."""
    try:
        with transaction.atomic():
            response = act()
            _keep(claim, response)
    except Refusal as refusal:
        response = response_for(Problem("refused", refusal.sentence, code=refusal.code))
        _keep(claim, response)
    return response


def _by_event(claim: _Claim, act: Callable[[], HttpResponse]) -> HttpResponse:
    response = act()
    _keep(claim, response)
    return response


def _keep(claim: _Claim, response: HttpResponse) -> None:
    mine = KeptAnswer.objects.filter(pk=claim.row.pk, claim=claim.token, status=None)
    kept = mine.update(
        status=response.status_code,
        media_type=response["Content-Type"].partition(";")[0],
        body=response.content.decode(),
    )
    if not kept:
        raise _Overtaken


def _claimed(request: HttpRequest, caller: Caller, key: str) -> _Claim | HttpResponse:
    """The claim, or the answer that is there already; a Problem where another is at work on it."""
    mine = uuid.uuid4()
    fingerprint = _fingerprint(request)
    new = {"fingerprint": fingerprint, "claim": mine, "begun_at": caller.at}
    row, is_new = KeptAnswer.objects.get_or_create(token=caller.token, key=key, defaults=new)
    if is_new:
        return _Claim(row, mine)
    if row.fingerprint != fingerprint:
        raise Problem(
            "key-used-otherwise",
            _("This Idempotency-Key came with another request before: make a new key."),
            errors=[{"header": "Idempotency-Key", "detail": _("It belongs to another request.")}],
        )
    if row.status is not None:
        return _replayed(row)
    gone = KeptAnswer.objects.filter(
        pk=row.pk, claim=row.claim, status=None, begun_at__lte=caller.at - CLAIM_HOLDS
    )
    if not gone.update(claim=mine, begun_at=caller.at):
        raise _in_flight()
    return _Claim(row, mine)


def _replayed(row: KeptAnswer) -> HttpResponse:
    """The same status and words; a header says that nothing was done anew."""
    media = row.media_type if row.media_type == MEDIA_TYPE else f"{row.media_type}; charset=utf-8"
    headers = {"Idempotency-Replayed": "true"}
    return HttpResponse(row.body, status=row.status, content_type=media, headers=headers)


def _fingerprint(request: HttpRequest) -> str:
    told = f"{request.method} {request.get_full_path()}\n".encode()
    return hashlib.sha256(told + request.body).hexdigest()


def key_of(request: HttpRequest) -> str | None:
    """The key without its quotes; None where none was sent."""
    text = request.headers.get("Idempotency-Key")
    if text is None:
        return None
    found = _KEY.fullmatch(text.strip())
    if found is None:
        detail = _(
            "An Idempotency-Key has 1 to 200 plain characters without blanks, such as a UUID."
        )
        raise Problem(
            "unreadable", detail, errors=[{"header": "Idempotency-Key", "detail": detail}]
        )
    return found.group(1) or found.group(2)


def _key_missing() -> Problem:
    detail = _(
        "Send an Idempotency-Key: a new one, such as a UUID, for each thing to be done, and the same"
        " one again when the answer did not arrive."
    )
    return Problem("unreadable", detail, errors=[{"header": "Idempotency-Key", "detail": detail}])


def _in_flight() -> Problem:
    detail = _("A request with this key is being answered. Ask again with the same key.")
    return Problem("in-flight", detail, headers={"Retry-After": "1"})
