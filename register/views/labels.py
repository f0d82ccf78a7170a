"""The label page: choose items and a sheet, see how many sheets it takes, get the PDF.

Whoever writes NFC tags gets the same addresses as a list.
"""

from __future__ import annotations

from dataclasses import asdict

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from register import labels
from register.access import needs
from register.forms_labels import AT_ONCE, DEFAULTS, NEED, LabelSheetForm
from register.models import Site
from register.rules.label_grid import sheets_needed
from register.tasks import LABELS
from register.views.errands import send_off


@needs(NEED)
def label_sheet(request: HttpRequest) -> HttpResponse:
    """The form, filled in by ?items=, ?delivery= or ?site=; the PDF once 'print' is pressed."""
    given = request.POST or ({**DEFAULTS, **request.GET.dict()} if request.GET else None)
    form = LabelSheetForm(given, initial=DEFAULTS, user=request.user)
    ready = form.is_bound and form.is_valid()
    if ready and "print" in request.POST:
        return _download(form) if len(form.chosen) <= AT_ONCE else _sent_off(request, form)
    if ready and "nfc" in request.POST:
        return _nfc_list(form)
    page = {
        "form": form,
        "count": _count(form) if ready else None,
        "local_address": settings.PUBLIC_URL if labels.lead_to_this_machine_only() else "",
    }
    return render(request, "register/label_sheet.html", page)


def _sent_off(request: HttpRequest, form: LabelSheetForm) -> HttpResponse:
    """Many labels are drawn in the background, from the tags that the items have then."""
    chosen = form.items_chosen
    given = {
        "items": [item.pk for item in chosen],
        "sheet": asdict(form.paper),
        "used": form.cleaned_data["used"],
    }
    sites = Site.objects.filter(pk__in={item.site_id for item in chosen})
    return send_off(request, LABELS, given, list(sites))


def _download(form: LabelSheetForm) -> HttpResponse:
    paper = labels.label_sheet(form.chosen, form.paper, form.cleaned_data["used"])
    name = f'attachment; filename="labels-{len(form.chosen)}.pdf"'
    headers = {"Content-Disposition": name, "Cache-Control": "no-store"}
    return HttpResponse(paper, content_type="application/pdf", headers=headers)


def _nfc_list(form: LabelSheetForm) -> HttpResponse:
    headers = {
        "Content-Disposition": 'attachment; filename="nfc-tags.csv"',
        "Cache-Control": "no-store",
    }
    told = labels.nfc_list(form.chosen)
    return HttpResponse(told, content_type="text/csv; charset=utf-8", headers=headers)


def _count(form: LabelSheetForm) -> dict[str, object]:
    """What the print will be, in figures."""
    number, used = len(form.chosen), form.cleaned_data["used"]
    return {
        "labels": number,
        "sheets": sheets_needed(form.paper, number, used),
        "qr": labels.qr_fit(form.paper, form.chosen),
    }
