"""A fall was arrested: everything in the load path is out at once, and what must follow is told."""

from __future__ import annotations

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from inspections.actions.events import record_arrest
from inspections.conditions import verdicts_of
from inspections.forms.arrest import ArrestForm
from inspections.models import Arrest
from inspections.views.rounds import time_at
from inspections.wording import verdict_sentence
from register import clock
from register.access import may, needs
from register.models import Site
from register.refusal import Refusal
from register.telling import stamp_of


@needs("arrest.record")
def arrest_new(request: HttpRequest) -> HttpResponse:
    """Say where, when, who and which tags; all of it is out with the one press."""
    form = ArrestForm(request.POST or None, user=request.user, now=clock.now())
    if form.is_valid():
        told = form.cleaned_data
        try:
            arrest = record_arrest(
                told["site"],
                items=form.items,
                happened_at=form.happened_at,
                account=told["account"],
                wearer=told["wearer"],
                zone=told["zone"],
                stamp=stamp_of(request),
            )
        except Refusal as refusal:
            form.add_error(None, refusal.sentence)
        else:
            return redirect("inspections:arrest-detail", pk=arrest.pk)
    return render(request, "inspections/arrest_new.html", {"form": form})


@needs("item.see")
def arrest_detail(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """What is out of use since the fall, what not to do, and where to look at cover.

    Who fell and what was told of it is for those who must act on it, and for nobody else.
    """
    seen = Arrest.objects.filter(site__in=Site.objects.visible_to(request.user))
    arrest = get_object_or_404(seen.select_related("site", "wearer", "recorded_by__person"), pk=pk)
    items = list(arrest.items.with_product())
    may_know = may(request.user, "arrest.know", arrest.site)
    verdicts = verdicts_of(items, clock.today(arrest.site))
    rows = [
        (item, item.where if may_know else item.place_name, verdict_sentence(verdicts[item.pk]))
        for item in items
    ]
    day = clock.day_at(arrest.site, arrest.happened_at)
    page = {
        "arrest": arrest,
        "rows": rows,
        "may_know": may_know,
        "may_see": may(request.user, "arrest.see", arrest.site),
        "may_record": may(request.user, "arrest.record", arrest.site),
        "day": day,
        "time": time_at(arrest.site, arrest.happened_at),
    }
    return render(request, "inspections/arrest_detail.html", page)
