"""Papers that hang or lie where the rescue is done: the sheet of a shift with its alarm, a kit's card."""

from __future__ import annotations

from datetime import date
from functools import partial

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from readiness.actions.calls import begin_sheet, write_call
from readiness.documents.kit_card import KIT_CARD
from readiness.documents.wall_sheet import WALL_SHEET
from readiness.forms.calls import CallForm
from readiness.models import RescueCall, ShiftSheet
from register.access import fetch, needs
from register.models import Kit, Shift, Site
from register.telling import kept, stamp_of
from register.views.paper_pages import paper_page


@needs("paper.issue")
def wall_sheet(request: HttpRequest, site: str, shift: int, day: str) -> HttpResponse:
    """What hangs on the wall for one shift of one day; posted, the file."""
    place = fetch(Site.objects.all(), request.user, "paper.issue", code=site)
    chosen = get_object_or_404(Shift.objects.select_related("site"), site=place, pk=shift)
    day_on = _day(day)
    if request.method == "POST":
        sheet = begin_sheet(chosen, day_on=day_on, stamp=stamp_of(request))
    else:
        known = ShiftSheet.objects.filter(shift=chosen, day_on=day_on).first()
        sheet = known or ShiftSheet(shift=chosen, day_on=day_on)
    sheet.shift = chosen
    url = reverse("readiness:site-cover", args=[place.code])
    back = {"url": f"{url}?on={day_on:%Y-%m-%d}", "words": place.name}
    return paper_page(request, WALL_SHEET.slug, sheet, back)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise Http404 from error


@needs("paper.issue")
def kit_card(request: HttpRequest, name: str) -> HttpResponse:
    """What is in a kit's bag, to be put into it; posted, the file."""
    rows = Kit.objects.select_related("item__site", "item__zone")
    kit = fetch(rows, request.user, "paper.issue", name=name)
    back = {"url": kit.get_absolute_url(), "words": _("Kit %(kit)s") % {"kit": kit}}
    return paper_page(request, KIT_CARD.slug, kit, back)


@needs("alarm.write")
def alarm_edit(request: HttpRequest, site: str) -> HttpResponse:
    """How the alarm is raised on a site, whom to ring, and where help is met."""
    place = fetch(Site.objects.all(), request.user, "alarm.write", code=site)
    begun = CallForm.begun_with(RescueCall.objects.filter(site=place).first())
    form = CallForm(request.POST or None, initial=begun)
    write = partial(_write, request, place, form)
    if kept(request, form, write, _("Kept. Sheets that tell otherwise are superseded.")):
        return redirect("readiness:site-cover", place.code)
    shown = {"site": place, "form": form}
    return render(request, "readiness/alarm_edit.html", shown, status=422 if form.errors else 200)


def _write(request: HttpRequest, place: Site, form: CallForm) -> None:
    write_call(place, **form.cleaned_data, stamp=stamp_of(request))
