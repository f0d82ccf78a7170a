"""What people are trained to do, and what runs out next."""

from __future__ import annotations

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from readiness.actions.people import record_competence
from readiness.forms.people import CompetenceForm
from readiness.lists.people import people_at, training_of
from register.access import needs, sites_for
from register.clock import now
from register.telling import kept, stamp_of


@needs("competence.record")
def competence_list(request: HttpRequest) -> HttpResponse:
    """Each person's training by kind and family with its last day; what ends first stands first."""
    day = now().date()
    people = people_at(sites_for(request.user, "competence.record"), day)
    shown = {"rows": training_of(people, day), "day": day}
    return render(request, "readiness/competence_list.html", shown)


@needs("competence.record")
def competence_new(request: HttpRequest) -> HttpResponse:
    """Record a ticket as it was seen."""
    people = people_at(sites_for(request.user, "competence.record"), now().date())
    form = CompetenceForm(request.POST or None, people=people)
    if form.is_valid():
        person = form.cleaned_data["person"]
        record = partial(record_competence, form.instance, stamp=stamp_of(request))
        if kept(request, form, record, _("Recorded for %(person)s.") % {"person": person}):
            return redirect("readiness:competence-list")
    shown = {"form": form}
    status = 422 if form.errors else 200
    return render(request, "readiness/competence_new.html", shown, status=status)
