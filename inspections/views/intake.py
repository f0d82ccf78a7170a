"""Bringing a workbook in: the file, the questions, the preview, the progress and what came of it."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST
from django_htmx.http import HttpResponseClientRedirect

from inspections.forms.intake import AnswersForm, FileForm
from inspections.intake import steps
from inspections.intake.apply import opened
from inspections.intake.looking import begin_intake
from inspections.intake.remembering import remembered_words
from inspections.models import Intake
from inspections.tasks import apply_in_background, plan_in_background
from register import clock
from register.access import fetch, needs, sites_for
from register.intake.columns import Guess, guess_at
from register.intake.unreadable import Unreadable
from register.intake.wording import unreadable_told
from register.models import Site
from register.refusal import Refusal
from register.telling import stamp_of

NEED = "intake.bring-in"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
LINES_AT_ONCE = 5000  # planned while the page is asked for, in about a second; more in background
LINES_A_PAGE = 200
QUIET = timedelta(minutes=2)  # without a sign of work for so long, starting again is offered
PAGES = {
    Intake.State.READ: "inspections:intake-columns",
    Intake.State.PLANNED: "inspections:intake-preview",
    Intake.State.DONE: "inspections:intake-done",
}
LISTS = {
    "bad": gettext_lazy("Stay out"),
    "differs": gettext_lazy("Differ"),
    "quarantined": gettext_lazy("Start quarantined"),
    "dues": gettext_lazy("Other due date"),
    "twice": gettext_lazy("Same line again"),
}


def page_of(intake: Intake) -> str:
    """The page on which the intake is to be seen now."""
    return PAGES.get(Intake.State(intake.state), "inspections:intake-progress")


def _fetched(request: HttpRequest, pk: int) -> Intake:
    rows = Intake.objects.filter(kind=Intake.Kind.EQUIPMENT).select_related("document", "leftover")
    return fetch(rows, request.user, NEED, pk=pk)  # type: ignore[arg-type]


@needs(NEED)
def intake(request: HttpRequest) -> HttpResponse:
    """The files so far, and the next one."""
    posted = request.method == "POST"
    form = FileForm(request.POST, request.FILES) if posted else FileForm()
    if posted and form.is_valid():
        begun = _begun(request, form)
        if begun:
            return redirect("inspections:intake-columns", begun.pk)
    own = Intake.objects.visible_to(request.user).filter(kind=Intake.Kind.EQUIPMENT)  # type: ignore[arg-type]
    found = own.select_related("document", "by__person")[:50]
    rows = [(one, page_of(one)) for one in found]
    return render(request, "inspections/intake.html", {"form": form, "rows": rows})


def _begun(request: HttpRequest, form: FileForm) -> Intake | None:
    """The intake of the uploaded file; None, with the reason beside the field, where it is no use."""
    sites = list(_sites(request))
    file = form.cleaned_data["file"]
    if not sites:
        form.add_error("file", _("There is no site to bring equipment to. Add the site first."))
        return None
    try:
        return begin_intake(
            file.read(),
            file.name,
            on=clock.today(sites[0]),
            stamp=stamp_of(request),
            sites=sites,
        )
    except Unreadable as reason:
        form.add_error("file", unreadable_told(reason))
        return None


def _sites(request: HttpRequest) -> Any:
    return sites_for(request.user, NEED)  # type: ignore[arg-type]


@needs(NEED)
def intake_columns(request: HttpRequest, pk: int) -> HttpResponse:
    """What the columns are and what else the file cannot tell; then it is looked through."""
    found = _fetched(request, pk)
    sent = request.POST if request.method == "POST" else None
    form = AnswersForm(sent, intake=found, sites=_sites(request))
    if form.is_valid():
        try:
            return _answered(request, found, form)
        except Refusal as refusal:
            messages.error(request, refusal.sentence)
            return redirect(page_of(found), found.pk)
        except Unreadable as reason:
            form.add_error(None, unreadable_told(reason))
    return render(request, "inspections/intake_columns.html", {"intake": found, "form": form})


def _answered(request: HttpRequest, found: Intake, form: AnswersForm) -> HttpResponse:
    mapping = _with_headings_moved(found, form)
    asked = _questions(found)
    found = steps.answer(found, mapping=mapping, choices=form.choices())
    moved = any(form.moves_headings(number) for number in range(len(found.seen["sheets"])))
    if moved or _questions(found) != asked:
        messages.info(request, _("The file was read again. Look at the columns once more."))
        return redirect("inspections:intake-columns", found.pk)
    found = steps.start(found, Intake.State.PLANNING, at=clock.now())
    if steps.lines_in(found) > LINES_AT_ONCE:
        plan_in_background.enqueue(found.pk)
        return redirect("inspections:intake-progress", found.pk)
    steps.plan_intake(found)
    return redirect("inspections:intake-preview", found.pk)


def _questions(found: Intake) -> tuple[object, ...]:
    seen = found.seen
    return seen["sites"], seen["lacks_site"], seen["order"] in {"ambiguous", "mixed"}


def _with_headings_moved(found: Intake, form: AnswersForm) -> dict[str, Guess]:
    """The answered columns; guessed anew for a sheet whose headings stand on another line."""
    mapping = form.mapping()
    moved = [
        (sheet["name"], form.cleaned_data[f"row-{number}"])
        for number, sheet in enumerate(found.seen["sheets"])
        if form.moves_headings(number)
    ]
    if moved:
        remembered = remembered_words(Intake.Kind.EQUIPMENT)
        sheets = opened(found)
        for name, row in moved:
            mapping[name] = guess_at(sheets.open_sheet(name).rows(), row, remembered)
    return mapping


@needs(NEED)
def intake_preview(request: HttpRequest, pk: int) -> HttpResponse:
    """What bringing the file in would do, before it is done."""
    found = _fetched(request, pk)
    if found.state != Intake.State.PLANNED:
        return redirect(page_of(found), found.pk)
    lists = found.findings["lists"]
    tabs = [(name, words, _size(found, name)) for name, words in LISTS.items()]
    shown = [name for name, _words, size in tabs if size]
    wanted = request.GET.get("list", "")
    chosen = wanted if wanted in shown else next(iter(shown), "")
    page = Paginator(lists.get(chosen, []), LINES_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "intake": found,
        "findings": found.findings,
        "tabs": [tab for tab in tabs if tab[2]],
        "chosen": chosen,
        "page": page,
    }
    return render(request, "inspections/intake_preview.html", context)


def _size(found: Intake, name: str) -> int:
    """How many lines a list has in truth; what is listed stops at a thousand."""
    if name == "dues":
        return int(found.findings["due_count"])
    if name == "quarantined":
        starts = {slug: count for slug, _name, count in found.findings["start"]}
        return int(starts.get("quarantined", 0))
    return int(found.counts[name])


@needs(NEED)
@require_POST
def intake_apply(request: HttpRequest, pk: int) -> HttpResponse:
    """Begin to bring the file in; from here on the background works."""
    found = _fetched(request, pk)
    if request.POST.get("again") and clock.now() - found.moved_at > QUIET:
        steps.set_free(found)
    try:
        found = steps.start(found, Intake.State.APPLYING, at=clock.now())
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect(page_of(found), found.pk)
    apply_in_background.enqueue(found.pk, request.user.pk)
    return redirect("inspections:intake-progress", found.pk)


@needs(NEED)
def intake_progress(request: HttpRequest, pk: int) -> HttpResponse:
    """How far it is; asked again every second where scripts run."""
    found = _fetched(request, pk)
    is_part = bool(getattr(request, "htmx", False))
    if found.state in PAGES:
        to = redirect(page_of(found), found.pk)
        return HttpResponseClientRedirect(to.url) if is_part else to
    template = (
        "inspections/_intake_progress.html" if is_part else "inspections/intake_progress.html"
    )
    is_quiet = found.is_busy and clock.now() - found.moved_at > QUIET
    return render(request, template, {"intake": found, "is_quiet": is_quiet})


@needs(NEED)
def intake_done(request: HttpRequest, pk: int) -> HttpResponse:
    """What came of it, and what to do next."""
    found = _fetched(request, pk)
    if found.state != Intake.State.DONE:
        return redirect(page_of(found), found.pk)
    sites = (
        Site.objects.filter(items__brought_in__intake=found)
        .annotate(number=Count("items"))
        .order_by("name")
    )
    context = {"intake": found, "sites": sites, "went_in": found.brought_in.count()}
    return render(request, "inspections/intake_done.html", context)


@needs(NEED)
def intake_leftover(request: HttpRequest, pk: int) -> HttpResponse:
    """The lines that stayed out, to put right and bring back."""
    found = _fetched(request, pk)
    if found.leftover is None:
        raise Http404
    with found.leftover.file.open("rb") as file:
        content = file.read()
    name = f'attachment; filename="stayed-out-{found.brought_on:%Y-%m-%d}.xlsx"'
    headers = {"Content-Disposition": name, "Cache-Control": "no-store"}
    return HttpResponse(content, content_type=XLSX, headers=headers)
