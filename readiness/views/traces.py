"""The trace list of a safety notice, at the sites where the reader may issue papers."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from inspections.models import Notice
from readiness.documents.trace_list import TRACE_LIST, Trace
from register.access import needs, sites_for
from register.views.paper_pages import paper_page


@needs("paper.issue")
def notice_trace(request: HttpRequest, pk: int) -> HttpResponse:
    """Of all of the reader's sites, or with ?site= of one of them; posted, the file."""
    notices = Notice.objects.visible_to(request.user)  # type: ignore[arg-type]
    notice = get_object_or_404(notices, pk=pk)
    sites = sites_for(request.user, "paper.issue")  # type: ignore[arg-type]
    if code := request.GET.get("site", ""):
        sites = sites.filter(pk=get_object_or_404(sites, code=code).pk)
    back = {"url": notice.get_absolute_url(), "words": str(notice)}
    return paper_page(request, TRACE_LIST.slug, Trace(notice, tuple(sites)), back)
