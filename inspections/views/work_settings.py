"""Minutes a class and hours a person: what the plan of visits reckons with."""

from __future__ import annotations

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _

from inspections.actions.work_settings import set_hours, set_minutes
from inspections.capacity import minutes_by_class, visit_minutes
from inspections.forms.work import HoursForm, MinutesForm
from inspections.models import InspectorHours
from register.access import demand_everywhere, may_everywhere, needs
from register.models import Person
from register.telling import kept, stamp_of


@needs("work.set")
def minutes_edit(request: HttpRequest) -> HttpResponse:
    """They hold for every site, so only who holds every site changes them."""
    if request.method == "POST":
        demand_everywhere(request.user, "work.set")
    form = MinutesForm(
        request.POST or None,
        minutes=minutes_by_class(),
        initial={"visit_minutes": visit_minutes()},
    )

    def keep() -> object:
        told = form.cleaned_data["visit_minutes"]
        return set_minutes(form.minutes(), visit_minutes=told, stamp=stamp_of(request))

    if kept(
        request, form, keep, _("The minutes are changed; the plan reckons with them from now on.")
    ):
        return redirect("inspections:work-ahead")
    page = {"form": form, "may_change": may_everywhere(request.user, "work.set")}
    return render(
        request, "inspections/minutes_edit.html", page, status=422 if form.errors else 200
    )


@needs("work.set")
def hours_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """When one person inspects."""
    person = get_object_or_404(Person.objects.visible_to(request.user), pk=pk)
    now = InspectorHours.objects.filter(person=person).first()
    known = {"hours": now.minutes_a_day / 60, "weekdays": now.weekdays} if now else {}
    form = HoursForm(request.POST or None, initial=known)

    def keep() -> object:
        hours = partial(set_hours, person, weekdays=form.cleaned_data["weekdays"])
        return hours(minutes_a_day=form.minutes(), stamp=stamp_of(request))

    if kept(request, form, keep, _("The hours of %(person)s are changed.") % {"person": person}):
        return redirect("inspections:work-ahead")
    page = {"form": form, "person": person}
    return render(request, "inspections/hours_edit.html", page, status=422 if form.errors else 200)
