"""What inspecting has found, and what comes to the end of its life."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy

from inspections.forms.trends import RatesForm
from inspections.rates_board import (
    examined_since,
    hurried,
    life_wave,
    names_of,
    rates_by,
    seconds_a_harness,
    since,
    spare_rows,
)
from inspections.rules.rates import RANKED_FROM, ranked
from inspections.trend_lists import rate_rows, wave_rows
from inspections.work_board import today_of
from register import clock
from register.access import needs, sites_for

PARTS = (
    ("equipment_class", gettext_lazy("Class")),
    ("product", gettext_lazy("Product")),
    ("band", gettext_lazy("Age when examined")),
    ("use_class", gettext_lazy("Conditions of use")),
    ("site", gettext_lazy("Site")),
)


@needs("work.see")
def reject_rates(request: HttpRequest) -> HttpResponse:
    """Rejected among examined, with how far the number may be trusted, and the spares it asks for."""
    sites = list(sites_for(request.user, "work.see"))
    form = RatesForm({**RatesForm.USUAL, **request.GET.dict()})
    told = form.cleaned_data if form.is_valid() else RatesForm.USUAL
    days = 365 * told["years"]
    begins = since(clock.now(), days)
    rows = examined_since(sites, begins)
    names = names_of(rows, sites)
    tables = [
        (title, *map(rate_rows, ranked(rates_by(rows, part, names[part])))) for part, title in PARTS
    ]
    by_site = rates_by(rows, "site", names["site"])
    page = {
        "form": form,
        "begins": begins,
        "tables": tables if rows else [],
        "ranked_from": RANKED_FROM,
        "hurried": hurried(by_site, seconds_a_harness(sites, begins)),
        "spares": spare_rows(rows, days, told["days_away"]),
        "days_away": told["days_away"],
    }
    return render(request, "inspections/reject_rates.html", page)


@needs("work.see")
def life_ends(request: HttpRequest) -> HttpResponse:
    """Ten years of ends of life, month by month."""
    sites = list(sites_for(request.user, "work.see"))
    today = today_of(sites, clock.now())
    found = life_wave(sites, today)
    page = {"wave": found, "years": wave_rows(found)}
    return render(request, "inspections/life_ends.html", page)
