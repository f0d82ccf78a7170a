"""Forgetting a person: the name goes for good, and the safety record they are part of stays whole.

In the ledger people stand as salted digests; with the salt gone nobody can tell whose they were. The
rows of the record keep pointing at the same person, who is called by a number from then on.
"""

from __future__ import annotations

from collections.abc import Callable

from allauth.mfa.models import Authenticator
from allauth.usersessions.models import UserSession
from django.db import transaction
from django.utils.translation import gettext as _

from register.actions.people import sites_that_name
from register.actions.signing_in import has_left
from register.models import Handover, Item, Message, Person, Postbox, Stamp, User, record
from register.models.people import new_salt
from register.refusal import Refusal

Eraser = Callable[[Person, str], None]

_erasers: list[Eraser] = []


def enter_eraser(eraser: Eraser) -> None:
    """For an app that keeps the name as a text somewhere: it is given the person and the new name."""
    _erasers.append(eraser)


@transaction.atomic
def erase_person(person: Person, *, stamp: Stamp) -> Person:
    """For good. Refused while they are here, hold equipment, or would erase themselves."""
    person = Person.objects.select_for_update().get(pk=person.pk)
    _refuse(person, stamp)
    called = f"Person {person.pk:04d}"
    sites = {person.home_site_id, *sites_that_name(person)}
    for eraser in _erasers:
        eraser(person, called)
    Handover.objects.filter(person=person).update(signed_name="", strokes=[])
    person.name, person.employer, person.number = called, "", ""
    person.ledger_salt = new_salt()
    person.save(update_fields=["name", "employer", "number", "ledger_salt"])
    if user := User.objects.select_for_update(of=("self",)).filter(person=person).first():
        _erase_login(user)
    record("erase-person", {person: {}}, stamp=stamp, sites=sites)
    return person


def _refuse(person: Person, stamp: Stamp) -> None:
    if not has_left(person, stamp.at):
        raise Refusal(
            "still-here",
            _("%(person)s has not left. Enter the day they left first.") % {"person": person},
        )
    if Item.objects.filter(holder=person, custody="issued").exists():
        raise Refusal(
            "holds-equipment",
            _("%(person)s still has equipment on record. Take it back or report it lost first.")
            % {"person": person},
        )


def _erase_login(user: User) -> None:
    """Nothing is left of it but that there was one."""
    for session in UserSession.objects.filter(user=user):
        session.end()
    Authenticator.objects.filter(user=user).delete()
    Message.objects.filter(user=user).delete()
    Postbox.objects.filter(user=user).delete()
    user.calendar_feeds.all().delete()
    user.username = f"person-{user.person_id:04d}"
    user.first_name = user.last_name = user.email = ""
    user.is_active = False
    user.ledger_salt = new_salt()
    user.last_login = None
    user.set_unusable_password()
    user.save()
