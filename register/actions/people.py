"""People: their name, employer, home site and last day; nothing else about them is kept."""

from __future__ import annotations

from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from register.actions.signing_in import close_login, has_left, refuse_last_administrator
from register.models import Person, Site, Stamp, User, record
from register.refusal import Refusal


@transaction.atomic
def add_person(
    *, name: str, employer: str, home_site: Site | None, number: str = "", stamp: Stamp
) -> Person:
    """Enter somebody. Their name stands in no chain of the ledger, so that it can be erased."""
    told = {"name": _tidy(name), "employer": _tidy(employer), "number": _tidy(number)}
    person = Person(**told, home_site=home_site)
    _refuse_if_known(person)
    person.full_clean()
    person.save()
    record("add-person", {person: _facts(person)}, stamp=stamp, sites=[home_site])
    return person


@transaction.atomic
def change_person(
    person: Person,
    *,
    name: str,
    employer: str,
    home_site: Site | None,
    left_on: date | None,
    number: str | None = None,
    stamp: Stamp,
) -> Person:
    """Put right what is kept of somebody, or note the day from which they are no longer here.

    Who has left signs in no longer: the login is closed with it, as an act of its own.
    """
    person = Person.objects.select_for_update().get(pk=person.pk)
    before = person.home_site_id
    person.name, person.employer = _tidy(name), _tidy(employer)
    person.home_site, person.left_on = home_site, left_on
    person.number = person.number if number is None else _tidy(number)
    _refuse_if_known(person)
    person.full_clean()
    person.save(update_fields=["name", "employer", "number", "home_site", "left_on"])
    sites = {before, person.home_site_id, *sites_that_name(person)}
    record("change-person", {person: _facts(person)}, stamp=stamp, sites=sites)
    _close_login_of_leaver(person, stamp)
    return person


def sites_that_name(person: Person) -> set[int]:
    """Every site of a row that names the person, whoever keeps it: a rota, what they hold."""
    found: set[int] = set()
    for relation in Person._meta.related_objects:  # noqa: SLF001 - Django documents it as public
        kept = relation.related_model
        if any(field.name == "site" for field in kept._meta.fields):  # noqa: SLF001
            rows = kept._default_manager.filter(**{relation.field.name: person})  # noqa: SLF001
            found.update(rows.order_by().values_list("site", flat=True).distinct())
    return found


def _close_login_of_leaver(person: Person, stamp: Stamp) -> None:
    """At once, or on the day to come: `register.signing_in` looks at that day at every page."""
    user = User.objects.filter(person=person, is_active=True).first()
    if user is None or person.left_on is None:
        return
    refuse_last_administrator(user)
    if has_left(person, stamp.at):
        close_login(user, stamp.again())


def _refuse_if_known(person: Person) -> None:
    """Two people of one name and one employer cannot be told apart at the hatch."""
    alike = Person.objects.filter(name__iexact=person.name, employer__iexact=person.employer)
    if alike.exclude(pk=person.pk).exists():
        raise Refusal(
            "person-known",
            _(
                "%(person)s is entered already with this employer. If this is somebody else, add"
                " something that tells them apart, such as a second initial."
            )
            % {"person": person.name},
        )


def _facts(person: Person) -> dict[str, object]:
    return {
        "home_site": person.home_site.code if person.home_site else None,
        "left_on": person.left_on.isoformat() if person.left_on else None,
    }


def _tidy(text: str) -> str:
    return " ".join(text.split())
