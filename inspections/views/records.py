"""One inspection as it was recorded, its photographs, and the correction that takes its place."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from datetime import datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _

from inspections.actions.inspecting import Finding, Flaw, correct_inspection
from inspections.forms.bench import BaseDefects, CorrectionForm
from inspections.models import Defect, Inspection
from inspections.rules.cues import cues_for
from inspections.rules.item_facts import PASSES
from inspections.views.findings import defect_forms, flaws_of
from inspections.views.rounds import inspector_of, time_at
from inspections.wording import not_counted_sentence
from register import clock
from register.access import demand, may, needs
from register.refusal import Refusal
from register.telling import stamp_of


@needs("inspection.see")
def inspection_detail(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """The record, and what stands before or after it where it was corrected."""
    one = _seen(request, pk, "inspection.see")
    page = {
        "inspection": one,
        "defects": list(one.defects.all()),
        "time": time_at(one.item.site, one.performed_at),
        "not_counted": not_counted_sentence(one.counts_not_because)
        if one.counts_not_because
        else "",
        "corrected_by": getattr(one, "superseded_by", None),
        "may_correct": may(request.user, "inspection.record", one.item.site_id),
    }
    return render(request, "inspections/inspection_detail.html", page)


@needs("inspection.record")
def inspection_correct(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """The right record in the place of a wrong one; both stay readable."""
    wrong = _seen(request, pk, "inspection.record")
    old = list(wrong.defects.all())
    day = clock.today(wrong.item.site)
    form = CorrectionForm(
        request.POST or None, verdict="pass-with-conditions", day=day, initial=_as_recorded(wrong)
    )
    filled = [_defect_as_recorded(defect) for defect in old]
    initial = {} if request.method == "POST" else {"initial": filled}
    defects = defect_forms(request, day=wrong.performed_on, wanted=False, **initial)
    if form.is_valid() and defects.is_valid():
        try:
            right = _corrected(request, wrong, form, _flaws(request, wrong, defects, old))
        except Refusal as refusal:
            form.add_error(None, refusal.sentence)
        else:
            return redirect("inspections:inspection-detail", pk=right.pk)
    cues = cues_for(wrong.item.product.equipment_class)
    page = {"inspection": wrong, "form": form, "defects": defects, "cues": cues}
    return render(request, "inspections/inspection_correct.html", page)


@needs("inspection.see")
def defect_photo(request: HttpRequest, pk: int) -> FileResponse:
    """The photograph of a defect."""
    seen = Inspection.objects.visible_to(request.user)
    found = Defect.objects.filter(inspection__in=seen).exclude(photo=None).select_related("photo")
    photo = get_object_or_404(found, pk=pk).photo
    if photo is None:
        raise Http404
    return FileResponse(photo.file.open("rb"), content_type="image/jpeg")


def _seen(request: HttpRequest, pk: uuid.UUID, need: str) -> Inspection:
    """The inspection of an item that the user sees, where the need is held at the item's site."""
    rows = Inspection.objects.visible_to(request.user).select_related(
        *("item__product", "item__site", "site", "inspector", "recorded_by__person"),
        *("supersedes", "superseded_by"),
    )
    found: Inspection = get_object_or_404(rows.prefetch_related("defects__photo"), pk=pk)
    demand(request.user, need, found.item.site_id)
    return found


def _as_recorded(wrong: Inspection) -> dict[str, Any]:
    kept = ("kind", "performed_on", "covers_periodic", "good_until_on", "restricted_to", "note")
    return {"right_verdict": wrong.verdict, **{name: getattr(wrong, name) for name in kept}}


def _defect_as_recorded(defect: Defect) -> dict[str, Any]:
    names = ("grade", "danger_by_on", "what", "place", "action")
    return {name: getattr(defect, name) for name in names}


def _flaws(
    request: HttpRequest, wrong: Inspection, defects: BaseDefects, old: Sequence[Defect]
) -> list[Flaw]:
    """The defects as they are told now; one that is told in the same words keeps its photograph."""
    photos = {defect.what: defect.photo for defect in old}
    found = []
    for flaw in flaws_of(request, wrong.item, defects.told):
        photo = flaw.photo or photos.get(flaw.what)
        names = ("grade", "what", "place", "action", "danger_by_on")
        found.append(Flaw(**{name: getattr(flaw, name) for name in names}, photo=photo))
    return found


def _corrected(
    request: HttpRequest, wrong: Inspection, form: CorrectionForm, flaws: Sequence[Flaw]
) -> Inspection:
    """The inspection stays its inspector's; nobody else turns it into a pass."""
    told = form.cleaned_data
    inspector = inspector_of(request)
    if told["right_verdict"] in PASSES and (inspector is None or inspector != wrong.inspector):
        raise Refusal(
            "not-their-pass",
            _("Only %(name)s can correct this record to a pass. Or inspect the item yourself.")
            % {"name": wrong.inspector_name or _("its inspector")},
        )
    finding = Finding(
        kind=told["kind"],
        verdict=told["right_verdict"],
        performed_at=_moment(wrong, told),
        inspector=wrong.inspector,
        flaws=flaws,
        note=told["note"],
        good_until_on=told["good_until_on"],
        restricted_to=told["restricted_to"],
        covers_periodic=told["covers_periodic"],
        source=wrong.source,
    )
    stamp = stamp_of(request)
    return correct_inspection(wrong, finding=finding, reason=told["reason"], stamp=stamp)


def _moment(wrong: Inspection, told: dict[str, Any]) -> datetime:
    """The moment as recorded, or noon of the corrected day on the site's clock."""
    if told["performed_on"] == wrong.performed_on:
        return wrong.performed_at
    place = ZoneInfo(wrong.item.site.time_zone)
    noon = datetime.combine(told["performed_on"], time(12), tzinfo=place)
    return min(noon, clock.now())
