"""The open page that checks a paper, and who issues papers."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache

from register import clock
from register.access import demand_everywhere, may_everywhere, needs, open_page
from register.actions.papers import name_employer
from register.documents.checking import check_paper, look_at_file, paper_with
from register.documents.issuing import moment_words
from register.forms.papers import EmployerForm, PaperFileForm
from register.models import Employer, Paper, PaperSize
from register.telling import kept, stamp_of
from register.throttling import once_more

LOOKS_AN_HOUR = 60
"""From one address of a network without signing in: plenty at a gate, far too few to guess with."""


@open_page("whoever holds a paper must know whether it is genuine and still true; it names nobody")
@never_cache
def paper_check(request: HttpRequest, reference: str, secret: str) -> HttpResponse:
    """Judged anew each time it is opened; a file sent to it is looked at and not kept."""
    if not _may_look(request):
        return _shown(request, {"problem": "throttled"}, 429)
    paper = paper_with(reference, secret)
    if paper is None:
        return _shown(request, {"problem": "unknown"}, 404)
    sent = request.method == "POST"
    form = PaperFileForm(request.POST, request.FILES) if sent else PaperFileForm()
    if form.is_valid():
        read = look_at_file(form.cleaned_data["file"].read(), paper)
        return _shown(request, {**_told(paper), "form": PaperFileForm(), "file": read})
    return _shown(request, {**_told(paper), "form": form}, 422 if form.errors else 200)


def _told(paper: Paper) -> dict[str, object]:
    employer = Employer.objects.first()
    return {
        "checked": check_paper(paper, clock.now()),
        "issued": moment_words(paper.made_at, paper.site),
        "as_at": moment_words(paper.as_at, paper.site),
        "until": moment_words(paper.good_until_at, paper.site) if paper.good_until_at else "",
        "employer": employer,
    }


def _may_look(request: HttpRequest) -> bool:
    signed_in = request.user.is_authenticated
    return signed_in or once_more(f"paper-{request.META.get('REMOTE_ADDR', '')}", LOOKS_AN_HOUR)


def _shown(request: HttpRequest, shown: dict[str, object], status: int = 200) -> HttpResponse:
    return render(request, "register/paper_check.html", shown, status=status)


@needs("employer.name")
def employer_edit(request: HttpRequest) -> HttpResponse:
    """Who issues every paper; only who holds every site changes it."""
    if request.method == "POST":
        demand_everywhere(request.user, "employer.name")
    known = Employer.objects.first()
    begun = {name: getattr(known, name) for name in EmployerForm.base_fields} if known else {}
    form = EmployerForm(request.POST or None, initial={"paper_size": PaperSize.A4, **begun})
    if kept(
        request,
        form,
        lambda: name_employer(stamp=stamp_of(request), **form.cleaned_data),
        _("Changed. It stands on every paper from now on."),
    ):
        return redirect("register:site-list")
    shown = {"form": form, "may_name": may_everywhere(request.user, "employer.name")}
    return render(request, "register/employer_edit.html", shown, status=422 if form.errors else 200)
