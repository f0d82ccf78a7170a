"""One inspection as it was recorded, with the checklist it was judged by, and its photographs."""

from __future__ import annotations

import uuid

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from inspections.models import Defect, Inspection
from inspections.particulars import kept_of, said_of
from inspections.shown_record import answers_shown, defects_shown, statement_shown
from inspections.views.rounds import time_at
from inspections.wording import why_it_moves_no_date
from register.access import demand, may, needs


@needs("inspection.see")
def inspection_detail(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """The record, and what stands before or after it where it was corrected."""
    one = inspection_seen(request, pk, "inspection.see")
    page = {
        "inspection": one,
        "defects": defects_shown(one),
        "answers": answers_shown(one),
        "statement": statement_shown(one),
        "time": time_at(one.item.site, one.performed_at),
        "moves_no_date": why_it_moves_no_date(one.verdict, one.counts_not_because),
        "corrected_by": getattr(one, "superseded_by", None),
        "kept": kept_of(one),
        "said": said_of(one),
        "may_print": may(request.user, "paper.issue", one.item.site_id),
        "may_correct": may(request.user, "inspection.record", one.item.site_id),
    }
    return render(request, "inspections/inspection_detail.html", page)


@needs("inspection.see")
def defect_photo(request: HttpRequest, pk: int) -> FileResponse:
    """The photograph of a defect."""
    seen = Inspection.objects.visible_to(request.user)
    found = Defect.objects.filter(inspection__in=seen).exclude(photo=None).select_related("photo")
    photo = get_object_or_404(found, pk=pk).photo
    if photo is None:
        raise Http404
    return FileResponse(photo.file.open("rb"), content_type="image/jpeg")


def inspection_seen(request: HttpRequest, pk: uuid.UUID, need: str) -> Inspection:
    """The inspection of an item that the user sees, where the need is held at the item's site."""
    rows = Inspection.objects.visible_to(request.user).select_related(
        *("item__product", "item__site", "site", "inspector", "recorded_by__person"),
        *("supersedes", "superseded_by", "checklist", "document", "authority__given_by__person"),
    )
    found: Inspection = get_object_or_404(rows.prefetch_related("defects__photo"), pk=pk)
    demand(request.user, need, found.item.site_id)
    return found
