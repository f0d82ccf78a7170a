"""Papers of a whole site: hundreds at once, and the audit pack as at any day, both in the background."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from inspections.documents import audit_pack
from inspections.forms.site_papers import AuditForm, BatchForm, paper_size
from inspections.tasks import AUDIT_PACK
from register import clock
from register.access import fetch, needs
from register.documents import batch
from register.models import Employer, Site
from register.refusal import Refusal
from register.tasks import PAPERS
from register.views.errands import send_off


@needs("paper.issue")
def site_papers(request: HttpRequest, site: str) -> HttpResponse:
    """Two forms; either leads to how far its errand is."""
    place = fetch(Site.objects.all(), request.user, "paper.issue", code=site)
    sent = request.POST if request.method == "POST" else None
    audit = AuditForm(sent if sent and "audit" in sent else None, today=clock.today(place))
    many = BatchForm(sent if sent and "many" in sent else None, site=place)
    try:
        if audit.is_valid():
            asked = (audit.cleaned_data[name] for name in ("on", "sample"))
            given = audit_pack.given_for(*asked, size=paper_size())
            return send_off(request, AUDIT_PACK, given, [place])
        if many.is_valid():
            said = {name: many.cleaned_data[name] for name in ("language", "size")}
            given = batch.given_for(many.cleaned_data["kind"], many.subjects(), **said)
            return send_off(request, PAPERS, given, [place])
    except Refusal as refusal:
        (many if many.is_bound else audit).add_error(None, refusal.sentence)
    shown = {"site": place, "audit": audit, "many": many, "employer": Employer.objects.first()}
    return render(request, "inspections/site_papers.html", shown, status=422 if sent else 200)
