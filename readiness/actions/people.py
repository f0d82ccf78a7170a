"""What people are trained to do."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from readiness.actions.checking import refuse_unless_valid
from readiness.models import Competence
from register.models import Person, Stamp, record
from register.refusal import Refusal
from register.wording import shown_day


@transaction.atomic
def record_competence(competence: Competence, *, stamp: Stamp) -> Competence:
    """Keep a ticket: rescue training on one family of kits, or first aid, with its days."""
    person = Person.objects.select_for_update().get(pk=competence.person_id)
    _refuse_nonsense(competence, person)
    refuse_unless_valid(competence)
    competence.save()
    facts = {
        "kind": competence.kind,
        "family": competence.family,
        "from_on": competence.from_on.isoformat(),
        "through_on": competence.through_on.isoformat(),
    }
    notes = {"provider": competence.provider}
    record("record-competence", {person: facts}, stamp=stamp, notes=notes, sites=_sites_of(person))
    return competence


def _refuse_nonsense(competence: Competence, person: Person) -> None:
    begins, ends = competence.from_on, competence.through_on
    if ends < begins:
        raise Refusal(
            "ends-before-it-begins",
            _("It would end on %(day)s, before it begins on %(day2)s.")
            % {"day": shown_day(ends), "day2": shown_day(begins)},
        )
    if competence.kind == Competence.Kind.RESCUER and not competence.family:
        raise Refusal("no-family", _("Choose the family of kits this rescuer was trained on."))
    if competence.kind == Competence.Kind.FIRST_AID and competence.family:
        raise Refusal("family-of-first-aid", _("First aid belongs to no family of kits: leave it."))
    same = Competence.objects.filter(
        person=person, kind=competence.kind, family=competence.family, from_on=begins
    )
    if same.filter(through_on=ends).exists():
        raise Refusal(
            "recorded-already", _("This is recorded for %(person)s already.") % {"person": person}
        )


def _sites_of(person: Person) -> list[int | None]:
    """Where the ticket may change an answer: the home site and every site on the person's rota."""
    return [person.home_site_id, *person.rota.order_by().values_list("site", flat=True).distinct()]
