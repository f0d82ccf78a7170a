"""Who asks: the bearer of a token, with what its owner may now, narrowed to what the token is for."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import datetime

from django.http import HttpRequest
from django.utils.translation import gettext as _
from ninja.security import HttpBearer

from register import clock
from register.access import may
from register.actions.signing_in import has_left
from register.actions.tokens import note_use
from register.api.limits import MOST_FAILURES, MOST_REQUESTS, count_one, refuse_above
from register.api.problems import Problem
from register.models import AccessToken, Site, Stamp, User
from register.rules.tokens import TOKEN_NEEDS, Written, hash_of, narrowed, read_token
from register.second_factor import lacks_second_factor

_NOBODY = hash_of("")  # compared with where no token has the prefix, so that this takes as long


@dataclass(frozen=True, slots=True)
class Caller:
    """A token and its owner, whose roles are those at the token's sites and no others."""

    token: AccessToken
    user: User
    at: datetime

    def may(self, need: str, site: Site | int | None = None) -> bool:
        """Whether the token was made for this and its owner may do it there now.

        What no token is made for (a quarantine, say, which an event may bring) is the owner's own.
        """
        if need in TOKEN_NEEDS and need not in self.token.needs:
            return False
        return may(self.user, need, site)

    @property
    def stamp(self) -> Stamp:
        return Stamp(by=self.user, at=self.at, device=f"api {self.token.prefix}")


class TokenBearer(HttpBearer):
    """The guard before every call: no token that works, no answer. Cookies are not looked at."""

    def __call__(self, request: HttpRequest) -> Caller:
        at = clock.now()
        scheme, _space, text = request.headers.get("Authorization", "").partition(" ")
        if scheme.lower() != "bearer" or not text.strip():
            raise _not_accepted(request, at, _("Send ‘Authorization: Bearer’ and a token."), "")
        return self._caller(request, text.strip(), at)

    def authenticate(self, request: HttpRequest, token: str) -> Caller:
        return self._caller(request, token, clock.now())

    def _caller(self, request: HttpRequest, text: str, at: datetime) -> Caller:
        token = _found(text)
        if token is None:
            detail = _("No token reads like this.")
            raise _not_accepted(request, at, detail, "invalid_token")
        if detail := _why_not(token, at):
            raise _not_accepted(request, at, detail, "invalid_token")
        count = count_one(f"token:{token.pk}", MOST_REQUESTS, at)
        request.api_count = count  # type: ignore[attr-defined]
        refuse_above(count)
        note_use(token, at)
        return Caller(token, _owner_within(token), at)


def _found(text: str) -> AccessToken | None:
    """By its public prefix; the secret is compared by its hash and in constant time, also where
    there is no such prefix."""
    written = read_token(text) or Written("", "")
    rows = AccessToken.objects.select_related("owner__person__home_site")
    token = rows.filter(prefix=written.prefix).first()
    known = token.secret_hash if token else _NOBODY
    is_it = secrets.compare_digest(hash_of(written.secret), known)
    return token if token and is_it else None


def _why_not(token: AccessToken, at: datetime) -> str:
    """'' where it works. Told only to whoever has the secret."""
    if token.revoked_at:
        return _("This token was revoked.")
    if not token.works_on(at.date()):
        return _("This token is past its last day. Have a new one made.")
    person = token.owner.person
    if not token.owner.is_active or (person and has_left(person, at)):
        return _("The owner of this token can sign in no longer.")
    if token.owner.has_first_password:
        return _("The owner of this token has to choose a password first.")
    if lacks_second_factor(token.owner):
        return _("The owner of this token has to set up a second factor first.")
    return ""


def _owner_within(token: AccessToken) -> User:
    """The owner, who holds in this request only what they hold at the token's sites."""
    owner = token.owner
    if not token.every_site:
        sites = token.sites.values_list("pk", flat=True)
        owner.__dict__["holdings"] = narrowed(owner.holdings, sites)
    return owner


def _not_accepted(request: HttpRequest, at: datetime, detail: str, error: str) -> Problem:
    """401 (RFC 6750, 3), or 429 once an address has tried too many. A token that works is answered
    from any address: behind one proxy all callers have the same."""
    address = request.META.get("REMOTE_ADDR", "")
    refuse_above(count_one(f"failed:{address}", MOST_FAILURES, at))
    challenge = 'Bearer realm="Tallyhook"' + (f', error="{error}"' if error else "")
    return Problem("token-not-accepted", detail, headers={"WWW-Authenticate": challenge})
