"""Users and the roles they hold: entered, closed, given and taken; each is an act of its own."""

from __future__ import annotations

import secrets
from collections.abc import Sequence

from django.contrib.auth.password_validation import validate_password
from django.db import transaction
from django.utils.translation import gettext as _

from register.actions.people import add_person
from register.actions.signing_in import close_login, has_left, refuse_last_administrator
from register.models import Grant, Person, Role, Site, Stamp, User, record
from register.refusal import Refusal

PLAIN = "abcdefghjkmnpqrstuvwxyz23456789"
"""Letters and digits that cannot be taken for one another when read out."""

Roles = Sequence[tuple[str, Site | None]]


def new_first_password() -> str:
    """Twelve characters in threes, to be read out once (59 bits)."""
    drawn = [secrets.choice(PLAIN) for _ in range(12)]
    return "-".join("".join(drawn[at : at + 4]) for at in (0, 4, 8))


@transaction.atomic
def add_user(person: Person, *, username: str, password: str, roles: Roles, stamp: Stamp) -> User:
    """Let somebody sign in, with a first password that they change before anything else."""
    person = Person.objects.select_for_update().get(pk=person.pk)
    _refuse_second_login(person, stamp)
    if User.objects.filter(username__iexact=username).exists():
        raise Refusal(
            "username-taken",
            _("A user is called “%(username)s” already. Choose another.") % {"username": username},
        )
    user = User(username=username.lower(), person=person, has_first_password=True)
    user.set_password(password)
    user.full_clean()
    user.save()
    for role, site in roles:
        _give(user, role, site)
    facts = {"person": person.pk, "roles": [_said(role, site) for role, site in roles]}
    record("add-user", {user: facts}, stamp=stamp)
    return user


@transaction.atomic
def add_user_and_person(
    *,
    name: str,
    employer: str,
    home_site: Site | None,
    username: str,
    password: str,
    roles: Roles,
    stamp: Stamp,
) -> User:
    """Enter somebody who is not among the people yet, and let them sign in."""
    person = add_person(name=name, employer=employer, home_site=home_site, stamp=stamp.again())
    return add_user(person, username=username, password=password, roles=roles, stamp=stamp)


def _refuse_second_login(person: Person, stamp: Stamp) -> None:
    if User.objects.filter(person=person).exists():
        raise Refusal(
            "has-user",
            _("%(person)s has a user already. Give that one the role.") % {"person": person},
        )
    if has_left(person, stamp.at):
        raise Refusal(
            "has-left",
            _("%(person)s has left. Put that right among the people first.") % {"person": person},
        )


@transaction.atomic
def close_user(user: User, *, stamp: Stamp) -> User:
    """Shut the login at once; the person and all they did stay in the records."""
    user = _locked(user)
    if not user.is_active:
        raise Refusal("closed-already", _("%(user)s is closed already.") % {"user": user})
    close_login(user, stamp)
    return user


@transaction.atomic
def reopen_user(user: User, *, password: str, stamp: Stamp) -> User:
    """Let a closed user in again, with a new first password and the roles held before."""
    user = _locked(user)
    if user.person and has_left(user.person, stamp.at):
        raise Refusal(
            "has-left",
            _("%(user)s has left. Put that right among the people first.") % {"user": user},
        )
    user.is_active = True
    return _with_password(user, password, "reopen-user", stamp)


@transaction.atomic
def give_first_password(user: User, *, password: str, stamp: Stamp) -> User:
    """For who has forgotten theirs: a new one, which they change before anything else."""
    user = _locked(user)
    if not user.is_active:
        raise Refusal("closed", _("%(user)s is closed. Open it again instead.") % {"user": user})
    return _with_password(user, password, "give-first-password", stamp)


def _with_password(user: User, password: str, verb: str, stamp: Stamp) -> User:
    user.set_password(password)
    user.has_first_password = True
    user.save(update_fields=["password", "has_first_password", "is_active"])
    record(verb, {user: {}}, stamp=stamp)
    return user


@transaction.atomic
def change_password(user: User, *, password: str, stamp: Stamp) -> User:
    """A password of one's own choice."""
    user = _locked(user)
    validate_password(password, user)
    user.set_password(password)
    user.has_first_password = False
    user.save(update_fields=["password", "has_first_password"])
    record("change-password", {user: {}}, stamp=stamp)
    return user


@transaction.atomic
def give_role(user: User, *, role: str, site: Site | None, stamp: Stamp) -> Grant:
    """Let the user do what the role may, at one site or at every one."""
    user = _locked(user)
    if not user.is_active:
        raise Refusal(
            "closed", _("%(user)s is closed. Open the user again first.") % {"user": user}
        )
    grant = _give(user, role, site)
    record("give-role", {user: {"role": _said(role, site)}}, stamp=stamp)
    return grant


@transaction.atomic
def take_role(grant: Grant, *, stamp: Stamp) -> None:
    """Take the role away; the last administrator of every site keeps theirs."""
    grant = (
        Grant.objects.select_for_update(of=("self",))
        .select_related("user", "site")
        .get(pk=grant.pk)
    )
    if grant.role == Role.ADMINISTRATOR and grant.site is None:
        refuse_last_administrator(grant.user)
    record("take-role", {grant.user: {"role": _said(grant.role, grant.site)}}, stamp=stamp)
    grant.delete()


def _locked(user: User) -> User:
    rows = User.objects.select_for_update(of=("self",)).select_related("person__home_site")
    return rows.get(pk=user.pk)


def _give(user: User, role: str, site: Site | None) -> Grant:
    """Refuse what is held already, and an administrator who could inspect (least power)."""
    held = set(user.grants.values_list("role", flat=True))
    if user.grants.filter(role=role, site=site).exists():
        raise Refusal(
            "role-held",
            _("%(user)s is %(Role)s there already.")
            % {"user": user, "Role": Role(role).label.lower()},
        )
    if {Role.ADMINISTRATOR, Role.COMPETENT} <= held | {role}:
        raise Refusal(
            "roles-apart",
            _(
                "%(user)s cannot be both administrator and competent person: who gives the roles"
                " does not inspect. Let somebody else have one of the two."
            )
            % {"user": user},
        )
    return Grant.objects.create(user=user, role=role, site=site)


def _said(role: str, site: Site | None) -> str:
    return f"{role} at {site.code if site else 'every site'}"
