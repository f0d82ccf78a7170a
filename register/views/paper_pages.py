"""A paper as a page, and the button that issues it: one way for every kind of paper."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from register import clock
from register.documents.issuing import Issued, issue, missing_for, moment_words
from register.documents.kinds import kinds
from register.forms.papers import PrintForm
from register.models import Employer, Paper
from register.refusal import Refusal
from register.telling import stamp_of

EARLIER = 5  # papers of the same kind on the same thing, told on the page


def paper_page(
    request: HttpRequest,
    kind: str,
    subject: Any,
    back: Mapping[str, str],
    *,
    as_at: datetime | None = None,
) -> HttpResponse:
    """The content as a page with all that is missing; posted, the file or a refusal.

    ``back`` is the page it hangs from: its ``url`` and its ``words``. The caller has asked who may.
    """
    form = PrintForm(request.POST or None, sizes=kinds()[kind].sizes)
    refused = ""
    if request.method == "POST" and form.is_valid():
        try:
            return _file(issue_as_asked(request, kind, subject, form, as_at))
        except Refusal as refusal:
            refused = refusal.sentence
    return _page(request, kind, subject, {"form": form, "back": back, "refused": refused}, as_at)


def issue_as_asked(
    request: HttpRequest, kind: str, subject: Any, form: PrintForm, as_at: datetime | None
) -> Issued:
    said = form.cleaned_data
    return issue(
        kinds()[kind],
        subject,
        stamp=stamp_of(request),
        language=said["language"],
        size=said["size"],
        as_at=as_at,
    )


def _file(issued: Issued) -> HttpResponse:
    headers = {
        "Content-Disposition": f'attachment; filename="{issued.name}"',
        "Cache-Control": "no-store",
    }
    return HttpResponse(issued.file, content_type="application/pdf", headers=headers)


def _page(
    request: HttpRequest,
    slug: str,
    subject: Any,
    shown: dict[str, object],
    as_at: datetime | None,
) -> HttpResponse:
    kind, at = kinds()[slug], as_at or clock.now()
    earlier = Paper.objects.visible_to(request.user).about(slug, kind.rows(subject))
    page = {
        **shown,
        "content": kind.content(subject, at),
        "missing": missing_for(kind, subject, at),
        "employer": Employer.objects.first(),
        "as_at": moment_words(at, kind.site(subject)),
        "earlier": [
            (paper, moment_words(paper.made_at, paper.site))
            for paper in earlier.select_related("site")[:EARLIER]
        ],
    }
    status = 422 if shown["refused"] or request.method == "POST" else 200
    return render(request, "register/paper.html", page, status=status)
