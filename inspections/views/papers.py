"""The papers of equipment and inspections, each as a page with the button that issues it."""

from __future__ import annotations

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from inspections.actions.reporting import cannot_be_reported, make_report
from inspections.documents.kinds import BLANK, RECORD, ROUND, WITHDRAWAL, report_kind
from inspections.forms.reports import ReportForm
from inspections.report_board import report_begun
from inspections.report_wording import missing_sentence
from inspections.views.going_round import round_seen
from inspections.views.records import inspection_seen
from register.access import fetch, needs, sites_for
from register.models import Item, Site
from register.telling import kept, stamp_of
from register.views.paper_pages import paper_page


@needs("paper.issue")
def item_record(request: HttpRequest, code: str) -> HttpResponse:
    """The equipment record of one item."""
    item = _item(request, "paper.issue", code)
    return paper_page(request, RECORD.slug, item, _back_to_item(item))


@needs("item.quarantine")
def item_withdrawal(request: HttpRequest, code: str) -> HttpResponse:
    """What hangs on an item that is out of use; whoever may stop it may print it."""
    item = _item(request, "item.quarantine", code)
    return paper_page(request, WITHDRAWAL.slug, item, _back_to_item(item))


def _item(request: HttpRequest, need: str, code: str) -> Item:
    return fetch(Item.objects.with_product(), request.user, need, code=code)


def _back_to_item(item: Item) -> dict[str, str]:
    return {"url": item.get_absolute_url(), "words": item.shown_code}


@needs("paper.issue")
def inspection_report(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """The report of one inspection: of a thorough examination, or of any other kind."""
    one = inspection_seen(request, pk, "paper.issue")
    back = {"url": reverse("inspections:inspection-detail", args=[pk]), "words": str(one)}
    person = getattr(request.user, "person", None)
    if person is not None and person.pk == one.inspector_id and not cannot_be_reported(one):
        more = _("Make the report anew") if one.reports.exists() else _("Make the report")
        back |= {"act": reverse("inspections:inspection-report-make", args=[pk]), "act_words": more}
    return paper_page(request, report_kind(one).slug, one, back)


@needs("inspection.record")
def inspection_report_make(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """What its author says beyond the record, on the day of the report."""
    one = inspection_seen(request, pk, "inspection.record")
    user = stamp_of(request).by
    begun = report_begun(one, user) if user else {}
    form = ReportForm(request.POST or None, inspection=one, initial=begun)
    if kept(
        request,
        form,
        lambda: make_report(one, told=form.told(), stamp=stamp_of(request)),
        _("The report is made. It can be issued now."),
    ):
        return redirect("inspections:inspection-report", pk)
    why_not = cannot_be_reported(one)
    page = {
        "inspection": one,
        "form": form,
        "why_not": missing_sentence(why_not) if why_not else "",
    }
    return render(
        request, "inspections/inspection_report_make.html", page, status=422 if form.errors else 200
    )


@needs("paper.issue")
def round_certificate(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """The certificate of a round."""
    found = round_seen(request, "paper.issue", pk)
    back = {"url": reverse("inspections:round-report", args=[pk]), "words": _("Round")}
    return paper_page(request, ROUND.slug, found, back)


@needs("item.quarantine")
def blank_notice(request: HttpRequest) -> HttpResponse:
    """For which site a notice to be written by hand is printed."""
    sites = sites_for(request.user, "item.quarantine")
    return render(request, "inspections/blank_notice.html", {"sites": sites})


@needs("item.quarantine")
def site_blank_notice(request: HttpRequest, site: str) -> HttpResponse:
    """A notice to be written by hand, with a number to enter later."""
    place = fetch(Site.objects.all(), request.user, "item.quarantine", code=site)
    back = {"url": reverse("inspections:blank-notice"), "words": _("Notices to write by hand")}
    return paper_page(request, BLANK.slug, place, back)
