"""The correction that takes the place of a wrong record."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, time
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from inspections.actions.finding import Finding, Flaw
from inspections.actions.inspecting import correct_inspection
from inspections.checklist_wording import cues_shown
from inspections.checklists import checklist_for
from inspections.forms.defects import BaseDefects
from inspections.forms.records import CorrectionForm
from inspections.models import Defect, Inspection
from inspections.rules.checklists import Answers, Checklist
from inspections.rules.contents import CardLine
from inspections.rules.item_facts import PASSES
from inspections.rules.rounds import NOT_SEEN
from inspections.views.defects import defect_forms, flaws_of, keep_photos
from inspections.views.records import inspection_seen
from inspections.views.rounds import inspector_of
from register import clock
from register.access import needs
from register.refusal import Refusal
from register.telling import stamp_of


@needs("inspection.record")
def inspection_correct(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """The right record in the place of a wrong one; both stay readable."""
    wrong = inspection_seen(request, pk, "inspection.record")
    old = list(wrong.defects.all())
    day = clock.today(wrong.item.site)
    form = CorrectionForm(request.POST or None, day=day, initial=_as_recorded(wrong))
    filled = [_defect_as_recorded(defect) for defect in old]
    initial = {} if request.method == "POST" else {"initial": filled}
    found = _checklist_of(wrong, {}) or checklist_for(wrong.item.product.equipment_class)
    particulars = {"day": wrong.performed_on, "checklist": found, **initial}
    defects = defect_forms(request, wanted=False, **particulars)
    if form.is_valid() and defects.is_valid():
        try:
            right = _corrected(request, wrong, form, _flaws(request, wrong, defects, old))
        except Refusal as refusal:
            form.add_error(None, refusal.sentence)
        else:
            return redirect("inspections:inspection-detail", pk=right.pk)
    if request.method == "POST":
        keep_photos(request, wrong.item, defects)
    cues = cues_shown(wrong.item.product.equipment_class)
    page = {"inspection": wrong, "form": form, "defects": defects, "cues": cues}
    return render(request, "inspections/inspection_correct.html", page)


def _as_recorded(wrong: Inspection) -> dict[str, Any]:
    kept = (
        "kind",
        "performed_on",
        "covers_periodic",
        "good_until_on",
        "restricted_to",
        "note",
        "statement",
    )
    return {"right_verdict": wrong.verdict, **{name: getattr(wrong, name) for name in kept}}


def _defect_as_recorded(defect: Defect) -> dict[str, Any]:
    names = ("grade", "danger_by_on", "what", "place", "point", "action")
    return {name: getattr(defect, name) for name in names}


def _flaws(
    request: HttpRequest, wrong: Inspection, defects: BaseDefects, old: Sequence[Defect]
) -> list[Flaw]:
    """The defects as they are told now; one that is told in the same words keeps its photograph."""
    photos = {defect.what: defect.photo for defect in old}
    found = []
    for flaw in flaws_of(request, wrong.item, defects.told):
        photo = flaw.photo or photos.get(flaw.what)
        found.append(replace(flaw, photo=photo))
    return found


def _corrected(
    request: HttpRequest, wrong: Inspection, form: CorrectionForm, flaws: Sequence[Flaw]
) -> Inspection:
    """The inspection stays its inspector's; nobody else turns it into a pass."""
    told = form.cleaned_data
    inspector = inspector_of(request)
    is_theirs = inspector is not None and inspector == wrong.inspector
    if not is_theirs and _is_good_news(wrong, told["right_verdict"]):
        raise Refusal(
            "not-their-pass",
            _("Only %(name)s can correct this record to a pass. Or inspect the item yourself.")
            % {"name": wrong.inspector_name or _("its inspector")},
        )
    finding = replace(_told_now(wrong, told), flaws=flaws)
    stamp = stamp_of(request)
    return correct_inspection(wrong, finding=finding, reason=told["reason"], stamp=stamp)


def _is_good_news(wrong: Inspection, verdict: str) -> bool:
    """A pass, and the end of a warning: 'not seen' would drop the day or the use that limits it."""
    warned = wrong.restricted_to or wrong.good_until_on or wrong.defects.exclude(grade="C").exists()
    return verdict in PASSES or (verdict in NOT_SEEN and bool(warned))


def _told_now(wrong: Inspection, told: dict[str, Any]) -> Finding:
    """What the form tells; all that it does not ask stays as it was recorded."""
    as_told = ("kind", "note", "good_until_on", "restricted_to", "covers_periodic")
    as_recorded = ("inspector", "left_shut", "document", "late_reason", "source")
    return Finding(
        verdict=told["right_verdict"],
        performed_at=_moment(wrong, told),
        checklist=_checklist_of(wrong, told),
        answers=_answers(wrong, told),
        contents=tuple(CardLine(**line) for line in wrong.contents),
        **{name: told[name] for name in as_told},
        **{name: getattr(wrong, name) for name in as_recorded},
    )


def _moment(wrong: Inspection, told: dict[str, Any]) -> datetime:
    """The moment as recorded, or noon of the corrected day on the site's clock."""
    if told["performed_on"] == wrong.performed_on:
        return wrong.performed_at
    place = ZoneInfo(wrong.item.site.time_zone)
    noon = datetime.combine(told["performed_on"], time(12), tzinfo=place)
    return min(noon, clock.now())


def _checklist_of(wrong: Inspection, told: dict[str, Any]) -> Checklist | None:
    """The version it was judged by; where none was named and now one is, the one in force."""
    if wrong.checklist:
        return wrong.checklist.checklist
    return checklist_for(wrong.item.product.equipment_class) if told.get("statement") else None


def _answers(wrong: Inspection, told: dict[str, Any]) -> Answers:
    """As answered then; what turns into a pass keeps no bad answer but from a defect told now."""
    passes = told["right_verdict"] in PASSES
    kept = {
        slug: answer
        for slug, answer in wrong.answers.items()
        if not (passes and answer == "not-ok")
    }
    measured = {slug: Decimal(value) for slug, value in wrong.measured.items()}
    return Answers(statement=told["statement"], points=kept, measured=measured)
