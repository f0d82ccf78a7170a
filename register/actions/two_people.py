"""What takes a manager and a competent person together: neither alone, and never one as both."""

from __future__ import annotations

from django.utils.translation import gettext as _

from register.models import Role, User
from register.refusal import Refusal

TOGETHER = frozenset({Role.COMPETENT, Role.MANAGER})


def refuse_unlike_one_of_two(user: User | None, site_id: int) -> User:
    """The user, who is a manager or a competent person at the site; else a refusal."""
    if user is None or user.person_id is None:
        raise Refusal(
            "nobody-named", _("Your login is linked to no person: ask whoever keeps the logins.")
        )
    if not roles_at(user, site_id):
        raise Refusal(
            "not-one-of-two", _("Only a competent person and a manager can do this, together.")
        )
    return user


def refuse_unlike_a_pair(first: User, second: User | None, site_id: int) -> None:
    """Refuse the same person twice, and two who do not hold both roles between them."""
    agreed = refuse_unlike_one_of_two(second, site_id)
    if first.pk == agreed.pk or first.person_id == agreed.person_id:
        raise Refusal(
            "same-person", _("You asked for this yourself: a second person has to agree.")
        )
    one, two = roles_at(first, site_id), roles_at(agreed, site_id)
    both = (Role.COMPETENT in one and Role.MANAGER in two) or (
        Role.MANAGER in one and Role.COMPETENT in two
    )
    if not both:
        raise Refusal(
            "both-roles-needed",
            _(
                "One of the two must be a manager and the other a competent person: %(first)s asked,"
                " so somebody with the other role has to agree."
            )
            % {"first": first},
        )


def roles_at(user: User, site_id: int) -> set[str]:
    """Which of the two roles the user holds at the site."""
    return {role for role, at in user.holdings if role in TOGETHER and at in (None, site_id)}
