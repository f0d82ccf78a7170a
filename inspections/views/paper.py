"""An inspection entered later from paper: performed then, recorded now, and the reason between."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, time
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from inspections.actions.finding import PAPER, Finding, Flaw
from inspections.actions.inspecting import inspect
from inspections.checklist_wording import cues_shown
from inspections.checklists import checklist_for
from inspections.forms.records import PaperForm
from inspections.models import Inspection
from inspections.rules.checklists import Answers
from inspections.views.defects import defect_forms, flaws_of, keep_photos
from register import clock
from register.access import fetch, needs
from register.actions.documents import keep_document
from register.models import Document, Item
from register.refusal import Refusal
from register.telling import stamp_of

NEED = "inspection.enter-paper"


@needs(NEED)
def item_paper(request: HttpRequest, code: str) -> HttpResponse:
    """What the sheet says, who looked and when; the register adds when it was entered, and by whom."""
    item = fetch(Item.objects.with_product(), request.user, NEED, code=code)
    day, found = clock.today(item.site), checklist_for(item.product.equipment_class)
    sent = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = PaperForm(*sent, user=request.user, day=day, initial={"kind": "detailed"})
    defects = defect_forms(request, day=day, wanted=False, checklist=found)
    if all([form.is_valid(), defects.is_valid()]):
        try:
            kept = _entered(request, item, form, flaws_of(request, item, defects.told))
        except Refusal as refusal:
            form.add_error(None, refusal.sentence)
        else:
            messages.success(request, _("Entered from paper. Both days are on the record."))
            return redirect("inspections:inspection-detail", pk=kept.pk)
    if request.method == "POST":
        keep_photos(request, item, defects)
    page = {"item": item, "form": form, "defects": defects}
    page["cues"] = cues_shown(item.product.equipment_class)
    return render(request, "inspections/item_paper.html", page)


def _entered(
    request: HttpRequest, item: Item, form: PaperForm, flaws: Sequence[Flaw]
) -> Inspection:
    told, stamp = form.cleaned_data, stamp_of(request)
    sheet: Document | None = None
    if told["sheet"]:
        name = f"{item.code} {told['performed_on']:%Y-%m-%d}.jpg"
        sheet = keep_document(told["sheet"], name=name, kind=Document.Kind.REPORT, stamp=stamp)
    as_told = ("kind", "inspector", "note", "good_until_on", "restricted_to", "covers_periodic")
    finding = Finding(
        **{name: told[name] for name in as_told},
        verdict=told["right_verdict"],
        performed_at=_moment(item, form),
        flaws=flaws,
        checklist=checklist_for(item.product.equipment_class) if told["statement"] else None,
        answers=Answers(statement=told["statement"], points={}, measured={}),
        source=PAPER,
        late_reason=told["late_reason"],
        document=sheet,
    )
    return inspect(item, finding=finding, stamp=stamp.again())


def _moment(item: Item, form: PaperForm) -> datetime:
    """The moment on the site's clock; without a time noon, and of today no later than now."""
    told = form.cleaned_data
    at = told["performed_time"] or time(12)
    moment = datetime.combine(told["performed_on"], at, tzinfo=ZoneInfo(item.site.time_zone))
    return moment if told["performed_time"] else min(moment, clock.now())
