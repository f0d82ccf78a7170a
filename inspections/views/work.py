"""The work ahead, week by week, and the visits by which every due day can be kept."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from inspections.actions.visits import accept_visit, drop_visit
from inspections.forms.work import AheadForm, VisitForm
from inspections.models import InspectorHours, Visit
from inspections.rules.workload import INTERVAL_DAYS
from inspections.visit_lists import visit_rows
from inspections.work_board import (
    PLANNED_WEEKS,
    Planned,
    accepted_from,
    plan_words,
    planned,
    site_rows,
    taken_hours,
    today_of,
    warnings_of,
    week_rows,
)
from inspections.work_facts import Capacity, capacity_from, loads_of, without_hours
from register import clock
from register.access import fetch, may, may_everywhere, needs, sites_for
from register.models import Person, Site
from register.telling import kept, stamp_of, told_to
from register.wording import shown_day


@needs("work.see")
def work_ahead(request: HttpRequest) -> HttpResponse:
    """What falls due, the hours there are, and a plan; a proposal until a visit is taken on."""
    every = list(sites_for(request.user, "work.see"))
    form = AheadForm(request.GET or None, user=request.user)
    chosen: dict[str, Any] = form.cleaned_data if form.is_valid() else {}
    site, weeks = chosen.get("site"), chosen.get("weeks") or PLANNED_WEEKS
    today = today_of(every, clock.now())
    capacity = capacity_from(today)
    shown = [site] if site else every
    loads = loads_of(shown, today, weeks)
    plan = planned(every, today, capacity)
    people = _inspectors(request, plan)
    page: dict[str, Any] = {"form": form, "site": site, "weeks": weeks, "every": len(every)}
    with_plan = plan if weeks == PLANNED_WEEKS else None
    accepted = accepted_from(every, today)
    taken = taken_hours(accepted, capacity)
    page["rows"] = week_rows(loads, today, weeks, capacity, with_plan, (people.values(), taken))
    page["people"] = list(people.values()) if with_plan else []
    page["sites"] = site_rows(shown, loads, capacity)
    page["warnings"] = [] if site else warnings_of(page["rows"], today)
    page["plan"] = plan_words(plan, capacity.visit * INTERVAL_DAYS)
    rows = _visits(every, accepted, plan, people, capacity)
    page["visits"] = [row for row in rows if not site or row.site == site]
    page["may_accept"] = may(request.user, "work.accept")
    return render(request, "inspections/work_ahead.html", {**page, **_settings(request, today)})


def _settings(request: HttpRequest, today: date) -> dict[str, object]:
    """The inspectors whose hours are known, and whether this user may change what is reckoned with."""
    hours = InspectorHours.objects.filter(person__in=Person.objects.visible_to(request.user))
    return {
        "may_set": may(request.user, "work.set"),
        "may_set_minutes": may_everywhere(request.user, "work.set"),
        "hours": hours.select_related("person"),
        "without_hours": without_hours(Person.objects.visible_to(request.user), today),
    }


def _inspectors(request: HttpRequest, plan: Planned) -> dict[int, Person]:
    """Those of the plan whom the user sees, by their key."""
    keys = [who.key for who in plan.question.ask.inspectors]
    people = Person.objects.visible_to(request.user).filter(pk__in=keys)
    return {person.pk: person for person in people}


def _visits(
    sites: list[Site],
    accepted: list[Visit],
    plan: Planned,
    people: dict[int, Person],
    capacity: Capacity,
) -> list[Any]:
    by_key = {site.pk: site for site in sites}
    return visit_rows(plan, accepted, people, by_key, capacity.minutes)


@needs("work.see")
def inspector_visits(request: HttpRequest, pk: int) -> HttpResponse:
    """One inspector's visits with what to call in and where it is; made to be printed."""
    person = get_object_or_404(Person.objects.visible_to(request.user), pk=pk)
    sites = list(sites_for(request.user, "work.see"))
    today = today_of(sites, clock.now())
    capacity = capacity_from(today)
    plan = planned(sites, today, capacity)
    accepted = accepted_from(sites, today)
    rows = _visits(sites, accepted, plan, {person.pk: person}, capacity)
    page = {
        "person": person,
        "visits": [row for row in rows if row.inspector == person],
        "open_all": "all" in request.GET,
        "may_accept": may(request.user, "work.accept"),
    }
    return render(request, "inspections/inspector_visits.html", page)


@needs("work.accept")
@require_POST
def visit_accept(request: HttpRequest) -> HttpResponse:
    """Take a proposed visit on; refused, the plan is shown as it is now with the reason above it."""
    form = VisitForm(request.POST, user=request.user)
    said = ""
    if form.is_valid():
        told = form.cleaned_data
        said = _("%(inspector)s is at %(site)s on %(day)s.") % {
            **told,
            "day": shown_day(told["day"]),
        }

    def act() -> object:
        stamp = stamp_of(request)
        where = (told["inspector"], told["site"])
        return accept_visit(*where, day=told["day"], items=told["items"], stamp=stamp)

    if not kept(request, form, act, said):
        for error in [error for errors in form.errors.values() for error in errors]:
            messages.error(request, str(error))
    return redirect("inspections:work-ahead")


@needs("work.accept")
@require_POST
def visit_drop(request: HttpRequest, pk: int) -> HttpResponse:
    """Give an accepted visit up, with the reason."""
    visit = fetch(Visit.objects.all(), request.user, "work.accept", pk=pk)
    because = request.POST.get("because", "")[:200]
    with told_to(request, _("The visit is dropped; its items stand in the plan again.")):
        drop_visit(visit, because=because, stamp=stamp_of(request))
    return redirect("inspections:work-ahead")
