"""The people and sites that a file may mean, as whoever brings it in has the right."""

from __future__ import annotations

from django.db.models import Q, QuerySet

from inspections.models import Intake
from readiness.intake.people import Known, People, people_of
from register.models import Person, Site


def sites_now(intake: Intake) -> QuerySet[Site]:
    """None kept stands for every site."""
    kept = intake.choices.get("site_ids", [])
    rows = Site.objects.order_by("name")
    return rows if kept is None else rows.filter(pk__in=kept)


def people_now(intake: Intake) -> People:
    """Those of these sites or of none, who have not left."""
    rows = Person.objects.here_on(intake.brought_on)
    kept = intake.choices.get("site_ids", [])
    if kept is not None:
        rows = rows.filter(Q(home_site__in=kept) | Q(home_site=None))
    columns = ("pk", "name", "employer", "number")
    return people_of(Known(*row) for row in rows.order_by("pk").values_list(*columns))
