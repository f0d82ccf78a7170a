"""Minutes, hours and rights as the rules of the workload know them, from their rows."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from inspections.models import Authorisation, InspectionMinutes, InspectorHours, VisitTerms
from inspections.rules.workload import VISIT_MINUTES, Hours, Right
from register.models import Person
from register.rules.classes import CLASSES


def minutes_by_class() -> dict[str, int]:
    """The employer's minutes, else those of the class."""
    own = dict(InspectionMinutes.objects.values_list("equipment_class", "minutes"))
    return {slug: own.get(slug, kind.minutes_to_inspect) for slug, kind in CLASSES.items()}


def visit_minutes() -> int:
    """Way and setting up for one visit."""
    terms = VisitTerms.objects.first()
    return terms.visit_minutes if terms else VISIT_MINUTES


def hours_by_person(people: Iterable[Person] | None = None) -> list[Hours]:
    """When each inspects, by the person's key; of these people, or of all."""
    rows = InspectorHours.objects.order_by("person")
    if people is not None:
        rows = rows.filter(person__in=people)
    told = rows.values_list("person", "minutes_a_day", "weekdays")
    return [Hours(person, minutes, frozenset(days)) for person, minutes, days in told]


def rights_from(day: date, people: Iterable[Person] | None = None) -> list[Right]:
    """Every authorisation that runs on the day or later; of who leaves, until the day before."""
    rows = Authorisation.objects.filter(through_on__gte=day).order_by("pk")
    if people is not None:
        rows = rows.filter(person__in=people)
    return [right for one in rows.select_related("person") if (right := _right(one))]


def _right(one: Authorisation) -> Right | None:
    left_on, through = one.person.left_on, one.through_on
    if left_on:
        through = min(through, date.fromordinal(left_on.toordinal() - 1))
    if through < one.from_on:
        return None
    return Right(one.person_id, frozenset(one.classes), frozenset(one.kinds), one.from_on, through)
