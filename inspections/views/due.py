"""The due list: what must be inspected by when, site by site and week by week."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from inspections.due_board import figures_of, groups_at, stopped_from_tags
from inspections.forms.due import WEEKS, DueForm
from inspections.round_board import unsigned_for_long
from register import clock
from register.access import may, needs, sites_for


@needs("due.see")
def due_list(request: HttpRequest) -> HttpResponse:
    """One site item by item; without a choice, every site of the user in figures."""
    now = clock.now()
    sites = list(sites_for(request.user, "due.see"))
    form = DueForm({"weeks": WEEKS, **request.GET.dict()}, user=request.user)
    valid = form.is_valid()
    weeks = form.cleaned_data.get("weeks") or WEEKS
    site = form.cleaned_data.get("site") or (sites[0] if len(sites) == 1 else None)
    page = {"form": form, "weeks": weeks, "site": site}
    page["may_record_arrest"] = may(request.user, "arrest.record")
    page["may_change_regime"] = may(request.user, "regime.change")
    page["stopped"] = stopped_from_tags([site] if site else sites, now)
    page["unsigned"] = unsigned_for_long([site] if site else sites, now)
    if site and valid:
        page["groups"] = groups_at(site, clock.day_at(site, now), weeks)
        page["quarantined"] = figures_of([site], now, weeks)[0].in_quarantine
        page["inspects"] = may(request.user, "inspection.record", site)
    else:
        page["figures"] = figures_of(sites, now, weeks)
    return render(request, "inspections/due_list.html", page)
