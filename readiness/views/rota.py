"""The rota: who is where on which shift, a week at a time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from readiness.actions.rota import put_on_rota, take_off_rota
from readiness.forms.people import RotaForm, people_of
from readiness.models import Competence, RotaEntry, family_name
from readiness.views.days import asked_day, monday_of, shift_for
from register.access import needs, sites_for
from register.clock import today
from register.models import Shift, Site
from register.telling import kept, stamp_of, told_to

_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Week:
    """One week of one shift at one site, as the address asks."""

    site: Site
    shift: Shift | None
    shifts: Sequence[Shift]
    monday: date

    @property
    def days(self) -> list[date]:
        return [self.monday + n * _DAY for n in range(7)]

    @property
    def url(self) -> str:
        shift = f"&shift={self.shift.pk}" if self.shift else ""
        query = f"?site={self.site.code}&on={self.monday.isoformat()}{shift}"
        return reverse("readiness:rota") + query

    @property
    def cover_url(self) -> str:
        """To the cover of this shift: today's, or that of the week's first day."""
        day = today(self.site)
        day = day if day in self.days else self.monday
        hour = f"&at={self.shift.begins:%H:%M}" if self.shift else ""
        return f"{self.site.get_absolute_url()}?on={day.isoformat()}{hour}"


@needs("rota.edit")
def rota(request: HttpRequest) -> HttpResponse:
    """The week as a grid of people and days, and the form that adds to it."""
    sites = sites_for(request.user, "rota.edit")
    site = sites.filter(code=request.GET.get("site", "")).first() or sites.first()
    if site is None:
        return render(request, "readiness/rota.html", {"week": None})
    week = _week(request, site)
    form = _form(week, request)
    if form.is_valid() and week.shift is not None:
        put = partial(put_on_rota, site, shift=week.shift, stamp=stamp_of(request), **form.said)
        if kept(request, form, put, _("On the rota.")):
            return redirect(f"{week.url}#main")
    shown = {
        "week": week,
        "sites": sites,
        "rows": _grid(week),
        "form": form,
        "before": week.monday - 7 * _DAY,
        "after": week.monday + 7 * _DAY,
    }
    return render(request, "readiness/rota.html", shown, status=422 if form.errors else 200)


@require_POST
@needs("rota.edit")
def rota_remove(request: HttpRequest, entry: int) -> HttpResponse:
    """This person is not there after all."""
    sites = sites_for(request.user, "rota.edit")
    rows = RotaEntry.objects.filter(site__in=sites).select_related("site", "shift", "person")
    found = get_object_or_404(rows, pk=entry)
    shifts = (found.shift,)
    week = Week(found.site, found.shift, shifts, monday_of(found.day_on))
    with told_to(request, _("%(person)s is off the rota of that day.") % {"person": found.person}):
        take_off_rota(found, stamp=stamp_of(request))
    return redirect(week.url)


def _week(request: HttpRequest, site: Site) -> Week:
    shifts = list(site.shifts.order_by("begins", "pk"))
    monday = monday_of(asked_day(request) or today(site))
    return Week(site, shift_for(request, shifts, site), shifts, monday)


def _form(week: Week, request: HttpRequest) -> RotaForm:
    people = people_of(week.site, week.monday)
    form = RotaForm(request.POST or None, site=week.site, monday=week.monday, people=people)
    trained = training_words([person.pk for person in people], week.monday)
    form.tell_training(trained)
    return form


def training_words(people: Iterable[int], day: date) -> dict[int, str]:
    """By person, what they are in date for on the day, such as 'First aid, Haul and lower'."""
    rows = Competence.objects.filter(
        person__in=list(people), from_on__lte=day + 6 * _DAY, through_on__gte=day
    )
    found: dict[int, set[str]] = defaultdict(set)
    for row in rows:
        found[row.person_id].add(family_name(row.family, row.get_kind_display()))
    return {person: ", ".join(sorted(said)) for person, said in found.items()}


def _grid(week: Week) -> list[dict[str, object]]:
    """A row a person, a cell a day: the entry or nothing."""
    entries = RotaEntry.objects.filter(
        site=week.site, shift=week.shift, day_on__range=(week.days[0], week.days[-1])
    ).select_related("person", "zone")
    people = {entry.person_id: entry.person for entry in entries}
    cells = {(entry.person_id, entry.day_on): entry for entry in entries}
    trained = training_words(people, week.monday)
    ordered = sorted(people.values(), key=lambda person: (person.name, person.pk))
    return [
        {
            "person": one,
            "trained": trained.get(one.pk, ""),
            "cells": [(day, cells.get((one.pk, day))) for day in week.days],
        }
        for one in ordered
    ]
