"""What people are trained to do."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext as _

from readiness.actions.checking import refuse_unless_valid
from readiness.models import Competence, Permit
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
    facts = _told(competence)
    notes = {"provider": competence.provider}
    record("record-competence", {person: facts}, stamp=stamp, notes=notes, sites=_sites_of(person))
    return competence


@transaction.atomic
def end_competence(
    competence: Competence, *, through_on: date, because: str, stamp: Stamp
) -> Competence:
    """Training that was taken away ends with this day, or with its first where that is later.

    Bad news: it only ever ends sooner.
    """
    person = Person.objects.select_for_update().get(pk=competence.person_id)
    last = max(through_on, competence.from_on)
    if last >= competence.through_on:
        raise Refusal(
            "ends-no-sooner",
            _("It ends on %(day)s anyway.") % {"day": shown_day(competence.through_on)},
        )
    facts = {**_told(competence), "was_through": competence.through_on.isoformat()}
    competence.through_on = last
    competence.save(update_fields=["through_on"])
    facts["through_on"] = last.isoformat()
    notes = {"because": because}
    record("end-competence", {person: facts}, stamp=stamp, notes=notes, sites=_sites_of(person))
    return competence


@transaction.atomic
def take_back_competence(competence: Competence, *, since: datetime, stamp: Stamp) -> None:
    """A ticket recorded by mistake goes; the ledger keeps that it was there, and with which days.

    Refused where somebody signed a permit on this person since: then work rests on it.
    """
    person = Person.objects.select_for_update().get(pk=competence.person_id)
    permits = Permit.objects.filter(signed_at__gte=since)
    if any(str(person.pk) in map(str, one.people) for one in permits):
        raise Refusal(
            "permit-rests-on-it",
            _("%(person)s: a permit was signed on this person since, so the ticket stays.")
            % {"person": person},
        )
    facts = _told(competence)
    record("take-back-competence", {person: facts}, stamp=stamp, sites=_sites_of(person))
    competence.delete()


def _told(competence: Competence) -> dict[str, object]:
    return {
        "kind": competence.kind,
        "family": competence.family,
        "from_on": competence.from_on.isoformat(),
        "through_on": competence.through_on.isoformat(),
    }


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
