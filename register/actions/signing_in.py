"""Who can sign in no longer: shut out with an act, and never the last administrator."""

from __future__ import annotations

from datetime import datetime

from django.db.models import Model
from django.utils.translation import gettext as _

from register.clock import day_at
from register.models import Grant, Person, Role, Stamp, User, record
from register.refusal import Refusal


def has_left(person: Person, at: datetime) -> bool:
    """Whether the person is no longer here at the moment, on their home site's own day."""
    if person.left_on is None:
        return False
    day = day_at(person.home_site, at) if person.home_site else at.date()
    return person.left_on <= day


def close_login(user: User, stamp: Stamp) -> None:
    """Shut an open login and its tokens for good, inside the caller's transaction."""
    refuse_last_administrator(user)
    user.is_active = False
    user.save(update_fields=["is_active"])
    tokens = list(user.tokens.select_for_update().filter(revoked_at=None))
    user.tokens.filter(pk__in=[token.pk for token in tokens]).update(revoked_at=stamp.at)
    touched: dict[Model, dict[str, object]] = {user: {}, **{token: {} for token in tokens}}
    record("close-user", touched, stamp=stamp)


def refuse_last_administrator(user: User) -> None:
    """Somebody must always be left who can give roles at every site."""
    everywhere = Grant.objects.filter(role=Role.ADMINISTRATOR, site=None, user__is_active=True)
    if everywhere.filter(user=user).exists() and not everywhere.exclude(user=user).exists():
        raise Refusal(
            "last-administrator",
            _(
                "%(user)s is the last administrator of every site. Give somebody else that role first."
            )
            % {"user": user},
        )
