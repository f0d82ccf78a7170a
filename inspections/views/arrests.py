"""A fall was arrested: everything in the load path is out at once, and what must follow is told."""

from __future__ import annotations

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _

from inspections.actions.arresting import fill_in, record_arrest
from inspections.forms.arrest import ArrestForm, ParticularsForm
from inspections.models import Arrest
from inspections.views.events import page_of
from register import clock
from register.access import fetch, may, needs
from register.refusal import Refusal
from register.telling import kept, stamp_of


@needs("arrest.record")
def arrest_new(request: HttpRequest) -> HttpResponse:
    """Say where, when, who and which tags; all of it is out with the one press."""
    form = ArrestForm(request.POST or None, user=request.user, now=clock.now())
    if form.is_valid():
        told = form.cleaned_data
        stamp = stamp_of(request)
        try:
            arrest = record_arrest(told["site"], items=told["codes"], fall=form.fall(), stamp=stamp)
        except Refusal as refusal:
            form.add_error(None, refusal.sentence)
        else:
            return redirect(arrest)
    return render(request, "inspections/arrest_new.html", {"form": form})


@needs("item.see")
def arrest_detail(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """What is out of use since the fall, what not to do, and where to look at cover.

    Who fell and what was told of it is for those who must act on it, and for nobody else.
    """
    seen = Arrest.objects.visible_to(request.user).select_related(
        *("site", "zone", "wearer", "recorded_by__person", "rescue_kit", "hold")
    )
    arrest = get_object_or_404(seen, pk=pk)
    may_know = may(request.user, "arrest.know", arrest.site)
    page = {
        **page_of(request, arrest, may_know=may_know),
        "arrest": arrest,
        "may_know": may_know,
        "may_see": may(request.user, "arrest.see", arrest.site),
        "rescuers": list(arrest.rescuers.all()) if may_know else [],
    }
    return render(request, "inspections/arrest_detail.html", page)


@needs("arrest.know")
def arrest_particulars(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """What was not known at first; nothing that stands is changed."""
    arrest = fetch(Arrest.objects.select_related("site"), request.user, "arrest.know", pk=pk)
    form = ParticularsForm(request.POST or None, instance=arrest, user=request.user)

    def act() -> None:
        fill_in(arrest, told=form.particulars(), stamp=stamp_of(request))

    if kept(request, form, act, _("Kept. What stands now is not changed any more.")):
        return redirect(arrest)
    page = {"form": form, "event": arrest}
    return render(request, "inspections/arrest_particulars.html", page)
