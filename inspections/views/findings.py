"""Verdicts that need words: their form, their defects, and the record that is kept of them."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from inspections.actions.inspecting import Finding, Flaw
from inspections.actions.inspecting import inspect as record_inspection
from inspections.forms.bench import (
    NEEDS_A_DEFECT,
    BaseDefects,
    DefectForm,
    DefectFormSet,
    FindingForm,
)
from inspections.models import Inspection
from inspections.rules.cues import cues_for
from inspections.rules.rounds import Round
from inspections.rules.verdict import VERDICTS
from inspections.views.rounds import inspector_of, round_of, sign
from inspections.wording import verdict_name
from register import clock
from register.access import fetch, needs
from register.actions.documents import keep_document
from register.models import Document, Item
from register.refusal import Refusal
from register.telling import stamp_of

NEED = "inspection.record"


@needs(NEED)
def inspect_finding(request: HttpRequest, code: str, verdict: str) -> HttpResponse:
    """What is wrong, how bad and what was done; signing it records the verdict."""
    item = fetch(Item.objects.with_product(), request.user, NEED, code=code)
    found = round_of(request)
    if verdict not in VERDICTS or verdict == "pass":
        raise Http404
    if found is None or code not in found.looks:
        messages.error(request, _("Scan %(item)s first.") % {"item": item.shown_code})
        return redirect("inspections:inspect")
    day = clock.today(item.site)
    form = FindingForm(request.POST or None, verdict=verdict, day=day)
    defects = defect_forms(request, day=day, wanted=verdict in NEEDS_A_DEFECT)
    if form.is_valid() and defects.is_valid() and _says_something(form, defects):
        try:
            record_verdict(request, found, item, verdict=verdict, form=form, defects=defects)
        except Refusal as refusal:
            form.add_error(None, refusal.sentence)
        else:
            return redirect("inspections:inspect")
    page: dict[str, object] = {"item": item, "verdict": verdict, "name": verdict_name(verdict)}
    page["cues"] = cues_for(item.product.equipment_class)
    page |= {"form": form, "defects": defects, "stopped": code in found.unsigned}
    return render(request, "inspections/inspect_finding.html", page)


def defect_forms(request: HttpRequest, **particulars: Any) -> BaseDefects:
    """The defect forms, filled in with what was sent."""
    day, wanted = particulars.pop("day"), particulars.pop("wanted")
    sent = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    made: BaseDefects = DefectFormSet(*sent, wanted=wanted, form_kwargs={"day": day}, **particulars)
    return made


def _says_something(form: FindingForm, defects: BaseDefects) -> bool:
    """A pass with conditions names its condition; else it is a plain pass."""
    told = form.cleaned_data
    if form.verdict != "pass-with-conditions" or defects.told:
        return True
    if told["good_until_on"] or told["restricted_to"] or told["note"]:
        return True
    form.add_error(
        None, _("Give the observation, the shorter day or the one use; without any it is a pass.")
    )
    return False


def record_verdict(
    request: HttpRequest,
    found: Round,
    item: Item,
    *,
    verdict: str,
    form: FindingForm | None = None,
    defects: BaseDefects | None = None,
) -> Inspection:
    """Record the verdict once, however often the button was pressed, and count it in the round."""
    told = form.cleaned_data if form else {}
    finding = Finding(
        kind=found.kind,
        verdict=verdict,
        performed_at=clock.now(),
        inspector=inspector_of(request),
        flaws=flaws_of(request, item, defects.told if defects else []),
        note=told.get("note", ""),
        good_until_on=told.get("good_until_on"),
        restricted_to=told.get("restricted_to", ""),
        covers_periodic=found.covers_periodic,
        id=uuid.UUID(found.looks[item.code].finding),
    )
    inspection = record_inspection(item, finding=finding, stamp=stamp_of(request))
    sign(request, found, inspection)
    return inspection


def flaws_of(request: HttpRequest, item: Item, told: Sequence[DefectForm]) -> list[Flaw]:
    """The defects, each with its photograph."""
    return [form.flaw(_kept_photo(request, item, form)) for form in told]


def _kept_photo(request: HttpRequest, item: Item, form: DefectForm) -> Document | None:
    content: bytes | None = form.cleaned_data["photo"]
    if not content:
        return None
    name = f"{item.code}.jpg"
    return keep_document(content, name=name, kind=Document.Kind.PHOTO, stamp=stamp_of(request))
