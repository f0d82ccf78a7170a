"""Tokens for other systems: made and revoked, each an act of its own."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from datetime import date, datetime

from django.db import OperationalError, transaction
from django.utils.translation import gettext as _

from register.models import AccessToken, Site, Stamp, User, record
from register.refusal import Refusal
from register.rules.tokens import (
    MOST_DAYS,
    TOKEN_NEEDS,
    USED_EVERY,
    Written,
    hash_of,
    last_day_problem,
    new_token,
)

MOST_OPEN = 50
"""Tokens of one user that work at the same time: more than anybody can keep in view."""


@transaction.atomic
def make_token(
    owner: User,
    *,
    name: str,
    needs: Sequence[str],
    sites: Sequence[Site] | None,
    through_on: date,
    stamp: Stamp,
) -> tuple[AccessToken, Written]:
    """A token at these sites (None: at all of its owner's); its secret is kept nowhere else."""
    _refuse_useless(needs, sites)
    _refuse_unsound(owner, through_on, stamp.at)
    written = new_token()
    token = AccessToken(
        name=name.strip(),
        prefix=written.prefix,
        secret_hash=hash_of(written.secret),
        owner=owner,
        needs=sorted(needs, key=list(TOKEN_NEEDS).index),
        every_site=sites is None,
        made_at=stamp.at,
        through_on=through_on,
    )
    token.full_clean()
    token.save(force_insert=True)
    token.sites.set(sites or ())
    record("make-token", {token: _facts(token, sites)}, stamp=stamp)
    return token, written


def _facts(token: AccessToken, sites: Sequence[Site] | None) -> dict[str, object]:
    return {
        "owner": token.owner_id,
        "needs": token.needs,
        "sites": None if sites is None else sorted(site.code for site in sites),
        "through_on": token.through_on.isoformat(),
    }


@transaction.atomic
def revoke_token(token: AccessToken, *, stamp: Stamp) -> AccessToken:
    """It works no longer, from the next request on, and never again."""
    token = AccessToken.objects.select_for_update().get(pk=token.pk)
    if token.revoked_at:
        raise Refusal(
            "revoked-already", _("The token “%(name)s” is revoked already.") % {"name": token.name}
        )
    token.revoked_at = stamp.at
    token.save(update_fields=["revoked_at"])
    record("revoke-token", {token: {}}, stamp=stamp)
    return token


def note_use(token: AccessToken, at: datetime) -> None:
    """When it was last used, to a few minutes; bookkeeping, no act, and never in anybody's way."""
    if token.last_used_at and token.last_used_at >= at - USED_EVERY:
        return
    with suppress(OperationalError), transaction.atomic():
        AccessToken.objects.filter(pk=token.pk).update(last_used_at=at)


def _refuse_useless(needs: Sequence[str], sites: Sequence[Site] | None) -> None:
    if not needs or not set(needs) <= set(TOKEN_NEEDS):
        raise Refusal("needs-missing", _("Choose what the token may do."))
    if sites is not None and not sites:
        raise Refusal("sites-missing", _("Choose the sites at which the token works."))


def _refuse_unsound(owner: User, through_on: date, at: datetime) -> None:
    owner = User.objects.select_for_update().get(pk=owner.pk)
    problem = last_day_problem(through_on, at.date())
    if problem == "past":
        raise Refusal("day-past", _("Choose a last day that is still to come."))
    if problem == "too-far":
        raise Refusal(
            "day-too-far",
            _("A token works for %(days)d days at the most: choose an earlier last day.")
            % {"days": MOST_DAYS},
        )
    working = owner.tokens.filter(revoked_at=None, through_on__gte=at.date())
    if working.count() >= MOST_OPEN:
        raise Refusal(
            "too-many-tokens",
            _("You have %(n)d tokens that work: revoke one that is not needed first.")
            % {"n": MOST_OPEN},
        )
