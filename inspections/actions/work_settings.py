"""What the employer says of inspecting time: minutes a class, minutes a visit, hours a person."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.models import InspectionMinutes, InspectorHours, VisitTerms
from register.models import Person, Site, Stamp, record
from register.refusal import Refusal
from register.rules.classes import CLASSES

ONE_ROW = 1  # two who save the first terms at once meet here
LONGEST_DAY = 12 * 60
WEEKDAYS = range(7)


@transaction.atomic
def set_minutes(minutes: Mapping[str, int], *, visit_minutes: int, stamp: Stamp) -> VisitTerms:
    """Keep the minutes of each class named and of a visit; plans follow from the next look on."""
    if unknown := sorted(minutes.keys() - CLASSES.keys()):
        raise Refusal(
            "class-unknown", _("Not a class: %(unknown)s.") % {"unknown": ", ".join(unknown)}
        )
    if min([*minutes.values(), visit_minutes]) < 1:
        raise Refusal("no-minutes", _("Every inspection and every visit takes a minute or more."))
    terms, _made = VisitTerms.objects.select_for_update().get_or_create(pk=ONE_ROW)
    terms.visit_minutes = visit_minutes
    terms.save()
    InspectionMinutes.objects.bulk_create(
        [InspectionMinutes(equipment_class=slug, minutes=n) for slug, n in minutes.items()],
        update_conflicts=True,
        unique_fields=["equipment_class"],
        update_fields=["minutes"],
    )
    facts: dict[str, object] = {"visit": visit_minutes, **minutes}
    record("set-minutes", {terms: facts}, stamp=stamp, sites=Site.objects.all())
    return terms


@transaction.atomic
def set_hours(
    person: Person, *, minutes_a_day: int, weekdays: Sequence[int], stamp: Stamp
) -> InspectorHours:
    """Say when a person inspects; no day of the week means that they do not for now."""
    if not 0 < minutes_a_day <= LONGEST_DAY:
        raise Refusal("hours-out-of-range", _("Give more than 0 and at most 12 hours a day."))
    if strange := sorted(set(weekdays) - set(WEEKDAYS)):
        raise Refusal(
            "no-such-weekday",
            _("There is no such day of the week: %(strange)s.") % {"strange": strange},
        )
    person = Person.objects.select_for_update().get(pk=person.pk)
    chosen = sorted(set(weekdays))
    hours, _made = InspectorHours.objects.update_or_create(
        person=person, defaults={"minutes_a_day": minutes_a_day, "weekdays": chosen}
    )
    facts = {"minutes_a_day": minutes_a_day, "weekdays": chosen}
    record("set-inspector-hours", {person: facts}, stamp=stamp)
    return hours
