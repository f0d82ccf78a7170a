"""What people are trained to do, and what runs out next."""

from __future__ import annotations

from datetime import timedelta
from functools import partial

from django.db.models import Max, Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from readiness.actions.people import record_competence
from readiness.forms.people import CompetenceForm
from readiness.models import Competence, family_name
from register.access import needs, sites_for
from register.clock import now
from register.models import Person, Site
from register.telling import kept, stamp_of

SOON = timedelta(days=60)


def people_at(sites: QuerySet[Site]) -> QuerySet[Person]:
    """Those who belong to these sites or to none."""
    day = now().date()
    rows = Person.objects.here_on(day)
    return rows.filter(Q(home_site__in=sites) | Q(home_site=None)).order_by("name")


@needs("competence.record")
def competence_list(request: HttpRequest) -> HttpResponse:
    """Each person's training by kind and family with its last day; what ends first stands first."""
    people = people_at(sites_for(request.user, "competence.record"))
    day = now().date()
    held = (
        Competence.objects.filter(person__in=people)
        .values("person__name", "person__home_site__name", "kind", "family")
        .annotate(through_on=Max("through_on"))
        .order_by("through_on", "person__name")
    )
    rows = [
        {
            "name": one["person__name"],
            "site": one["person__home_site__name"] or "",
            "kind": Competence.Kind(one["kind"]).label,
            "family": family_name(one["family"], ""),
            "through_on": one["through_on"],
            "state": _state(day, one["through_on"]),
        }
        for one in held
    ]
    return render(request, "readiness/competence_list.html", {"rows": rows, "day": day})


def _state(day: object, through: object) -> str:
    if through < day:  # type: ignore[operator]
        return _("Lapsed")
    return _("Ends soon") if through <= day + SOON else _("In date")  # type: ignore[operator]


@needs("competence.record")
def competence_new(request: HttpRequest) -> HttpResponse:
    """Record a ticket as it was seen."""
    people = people_at(sites_for(request.user, "competence.record"))
    form = CompetenceForm(request.POST or None, people=people)
    if form.is_valid():
        person = form.cleaned_data["person"]
        record = partial(record_competence, form.instance, stamp=stamp_of(request))
        if kept(request, form, record, _("Recorded for %(person)s.") % {"person": person}):
            return redirect("readiness:competence-list")
    shown = {"form": form}
    status = 422 if form.errors else 200
    return render(request, "readiness/competence_new.html", shown, status=status)
