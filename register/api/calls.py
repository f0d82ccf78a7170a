"""What every call goes through once its token is accepted: its need, its query, and being done once."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from pydantic import BaseModel

from register.access import NEEDS
from register.api.bearer import Caller
from register.api.limits import MOST_REQUESTS, count_one, refuse_above
from register.api.once import ByEvent, InOne, done_once
from register.api.problems import Problem

Call = Callable[..., Any]


def caller_of(request: HttpRequest) -> Caller:
    """Who asks; there is nobody else after the guard."""
    found: Caller = request.auth  # type: ignore[attr-defined]
    return found


def call(
    need: str | None, *, once: InOne | ByEvent | None = None, cost: int = 1
) -> Callable[[Call], Call]:
    """Guard one call: 403 without its need; None where it tells of the token alone.

    ``once``: what an Idempotency-Key does for it. ``cost`` counts it as so many requests.
    """
    if need is not None and need not in NEEDS:
        raise KeyError(f"{need!r} is not in the table of needs.")

    def guard(view: Call) -> Call:
        known = _parameters_of(view)

        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> Any:
            caller = caller_of(request)
            _refuse_unless_allowed(caller, need, cost)
            _refuse_unknown(request, known)
            if once is None:
                return view(request, *args, **kwargs)
            return done_once(request, caller, once, lambda: view(request, *args, **kwargs))

        told: Any = guarded
        told.needs, told.once = need, once
        told.__signature__ = inspect.signature(view, eval_str=True)  # for ninja, which reads it
        return guarded

    return guard


def _refuse_unless_allowed(caller: Caller, need: str | None, cost: int) -> None:
    if need is not None and not caller.may(need):
        raise _not_allowed(caller, need)
    if cost > 1:
        key = f"token:{caller.token.pk}"
        refuse_above(count_one(key, MOST_REQUESTS, caller.at, cost - 1))


def demand(caller: Caller, need: str, site: int | None) -> None:
    """403 for what the caller sees and may not do there."""
    if not caller.may(need, site):
        raise _not_allowed(caller, need)


def _not_allowed(caller: Caller, need: str) -> Problem:
    if need not in caller.token.needs:
        detail = _("This token was not made for this: it takes “%(need)s”.") % {"need": need}
    else:
        detail = _("The owner of this token holds no role here that may do this.")
    return Problem(
        "not-allowed", detail, code="token" if need not in caller.token.needs else "role"
    )


def _parameters_of(view: Call) -> frozenset[str]:
    """The query parameters that the call knows: the fields of its ``asked``."""
    asked = inspect.signature(view, eval_str=True).parameters.get("asked")
    shape = getattr(asked.annotation, "__origin__", asked.annotation) if asked else None
    if isinstance(shape, type) and issubclass(shape, BaseModel):
        return frozenset(shape.model_fields)
    return frozenset()


def _refuse_unknown(request: HttpRequest, known: frozenset[str]) -> None:
    """A filter mistyped would be passed over, and the answer taken for a narrower one."""
    unknown = sorted(set(request.GET) - known)
    if not unknown:
        return
    detail = _("No parameter of this call has that name.")
    names = ", ".join(name[:40] for name in unknown)
    raise Problem(
        "unsound",
        _("This call has no parameter “%(names)s”.") % {"names": names},
        errors=[{"parameter": name[:40], "detail": detail} for name in unknown],
    )


def answered(status: int, shape: BaseModel) -> HttpResponse:
    """A shape as the answer of a call that changes something."""
    return HttpResponse(
        shape.model_dump_json(), status=status, content_type="application/json; charset=utf-8"
    )
