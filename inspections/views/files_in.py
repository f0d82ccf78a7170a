"""The pages of a file of any kind; each kind's own views hand their desk to these."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django_htmx.http import HttpResponseClientRedirect

from inspections.forms.files_in import FileInForm, QuestionsForm
from inspections.intake import steps
from inspections.intake.way_steps import answer_file, begin_file, plan_file, undo_file
from inspections.intake.ways import Way
from inspections.models import Intake
from register import clock
from register.access import fetch, may_everywhere, sites_for
from register.intake.blank import blank_workbook
from register.intake.unreadable import Unreadable
from register.intake.wording import unreadable_told
from register.refusal import Refusal
from register.telling import stamp_of

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
LINES_AT_ONCE = 300  # planned while the page is asked for; more in the background
LINES_A_PAGE = 100
QUIET = timedelta(minutes=2)  # without a sign of work for so long, starting again is offered
State = Intake.State


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """Where one kind of file is handed in. ``at``: the stem of its addresses; ``title`` and
    ``about`` head its pages; ``caution`` stands where it is accepted; ``blank``: the headings of
    its empty workbook and what to write under each."""

    way: Way
    need: str
    at: str
    title: str
    about: str
    caution: str
    label: str
    plan_later: Callable[[int], object]
    apply_later: Callable[[int, int | None], object]
    blank: tuple[tuple[str, str], ...]
    suffixes: str = ".xlsx,.ods,.xls,.csv"

    def url(self, page: str = "", *args: int) -> str:
        return reverse(f"{self.at}-{page}" if page else self.at, args=args)


def list_page(request: HttpRequest, desk: Desk) -> HttpResponse:
    """The files of this kind so far, and the next one."""
    posted = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = FileInForm(*posted, suffixes=desk.suffixes, label=_(desk.label))
    if form.is_valid():
        begun = _begun(request, desk, form)
        if begun:
            return redirect(desk.url("file", begun.pk))
    own = Intake.objects.visible_to(request.user).filter(kind=desk.way.kind)  # type: ignore[arg-type]
    rows = [
        {
            "file": one,
            "url": desk.url("file", one.pk),
            "went_in": len(one.made),
            "left": desk.way.staying(one.counts),
        }
        for one in own.select_related("document", "by__person")[:50]
    ]
    told = {**_told(desk), "form": form, "rows": rows, "blank_url": desk.url("blank")}
    return render(request, "inspections/files_in.html", told, status=422 if form.errors else 200)


def _told(desk: Desk) -> dict[str, Any]:
    return {
        "title": _(desk.title),
        "about": _(desk.about),
        "caution": _(desk.caution),
        "list_url": desk.url(),
    }


def _begun(request: HttpRequest, desk: Desk, form: FileInForm) -> Intake | None:
    """The intake of the file; None, with the reason beside the field, where it is no use."""
    site = sites_for(request.user, desk.need).first()  # type: ignore[arg-type]
    file = form.cleaned_data["file"]
    on = clock.today(site) if site else clock.now().date()
    try:
        where = {"on": on, "sites": allowed_sites(request, desk)}
        content = file.read()
        begun = begin_file(desk.way, content, file.name, stamp=stamp_of(request), **where)
    except Unreadable as reason:
        form.add_error("file", unreadable_told(reason))
        return None
    before = Intake.objects.filter(document=begun.document, kind=begun.kind, state=State.DONE)
    if before.exists():
        messages.warning(
            request,
            _("This very file was brought in before. What is on record already is passed over."),
        )
    return begun


def fetched(request: HttpRequest, desk: Desk, pk: int) -> Intake:
    """The file, if it is of this kind and the user may see it."""
    rows = Intake.objects.filter(kind=desk.way.kind).select_related("document", "leftover")
    return fetch(rows, request.user, desk.need, pk=pk)  # type: ignore[arg-type]


def file_page(request: HttpRequest, desk: Desk, pk: int) -> HttpResponse:
    """The file as it stands: its questions, what it would do, how far it is, what came of it."""
    found = fetched(request, desk, pk)
    if getattr(request, "htmx", False) and not found.is_busy:
        return HttpResponseClientRedirect(desk.url("file", found.pk))
    asks_again = "questions" in request.GET and found.state in {State.PLANNED, State.STOPPED}
    if request.method == "POST" or found.state == State.READ or asks_again:
        return _questions_page(request, desk, found)
    if found.state == State.PLANNED:
        return _preview_page(request, desk, found)
    if found.state in {State.DONE, State.UNDONE}:
        return _done_page(request, desk, found)
    return _progress_page(request, desk, found)


def _questions_page(request: HttpRequest, desk: Desk, found: Intake) -> HttpResponse:
    sent = request.POST if request.method == "POST" else None
    form = QuestionsForm(sent, way=desk.way, intake=found)
    if form.is_valid():
        try:
            return _answered(request, desk, found, form)
        except Refusal as refusal:
            messages.error(request, refusal.sentence)
            return redirect(desk.url("file", found.pk))
        except Unreadable as reason:
            form.add_error(None, unreadable_told(reason))
    told = {**_told(desk), "intake": found, "form": form}
    status = 422 if form.errors else 200
    return render(request, "inspections/file_questions.html", told, status=status)


def _answered(request: HttpRequest, desk: Desk, found: Intake, form: QuestionsForm) -> HttpResponse:
    """New questions may follow from the answers; then the page is shown once more."""
    asked = {question.name for question in form.asked}
    choices = {**form.choices(), "site_ids": allowed_sites(request, desk)}
    found = answer_file(desk.way, found, mapping=form.mapping(), choices=choices, asked=form.asked)
    if {question.name for question in desk.way.questions(found)} - asked:
        messages.info(request, _("Your answers raise another question. Look once more."))
        return redirect(desk.url("file", found.pk))
    return _look_through(desk, found)


def allowed_sites(request: HttpRequest, desk: Desk) -> list[int] | None:
    """None for every site."""
    if may_everywhere(request.user, desk.need):  # type: ignore[arg-type]
        return None
    return list(sites_for(request.user, desk.need).values_list("pk", flat=True))  # type: ignore[arg-type]


def _look_through(desk: Desk, found: Intake) -> HttpResponse:
    found = steps.start(found, State.PLANNING, at=clock.now())
    if steps.lines_in(found) > LINES_AT_ONCE:
        desk.plan_later(found.pk)
    else:
        plan_file(desk.way, found)
    return redirect(desk.url("file", found.pk))


def _lists(request: HttpRequest, desk: Desk, found: Intake) -> dict[str, Any]:
    """The lists with something in them, and a page of the one asked for."""
    lists = found.findings.get("lists", {})
    tabs = [(one, _(one.name), found.counts.get(one.slug, 0)) for one in desk.way.lists]
    tabs = [tab for tab in tabs if tab[2]]
    shown = [one.slug for one, _name, _size in tabs]
    wanted = request.GET.get("list", "")
    quiet = [one.slug for one, _name, _size in tabs if not one.is_loud]
    chosen = wanted if wanted in shown else next(iter([*quiet, *shown]), "")
    page = Paginator(lists.get(chosen, []), LINES_A_PAGE).get_page(request.GET.get("page"))
    about = next((one.about for one, _name, _size in tabs if one.slug == chosen), "")
    return {
        "tabs": [(one.slug, name, size, one.is_loud) for one, name, size in tabs],
        "chosen": chosen,
        "chosen_about": _(about) if about else "",
        "page": page,
        "loud": [
            {
                "name": name,
                "size": size,
                "about": _(one.about) if one.about else "",
                "lines": lists[one.slug][:10],
            }
            for one, name, size in tabs
            if one.is_loud
        ],
    }


def _preview_page(request: HttpRequest, desk: Desk, found: Intake) -> HttpResponse:
    told = {
        **_told(desk),
        **_lists(request, desk, found),
        "intake": found,
        "acting": desk.way.acting(found.counts),
        "apply_url": desk.url("apply", found.pk),
        "notes": found.seen.get("notes", ()),
    }
    return render(request, "inspections/file_preview.html", told)


def _progress_page(request: HttpRequest, desk: Desk, found: Intake) -> HttpResponse:
    is_part = bool(getattr(request, "htmx", False))
    template = "inspections/_file_progress.html" if is_part else "inspections/file_progress.html"
    told = {
        **_told(desk),
        "intake": found,
        "file_url": desk.url("file", found.pk),
        "apply_url": desk.url("apply", found.pk),
        "is_quiet": found.is_busy and clock.now() - found.moved_at > QUIET,
    }
    return render(request, template, told)


def _done_page(request: HttpRequest, desk: Desk, found: Intake) -> HttpResponse:
    told = {
        **_told(desk),
        **_lists(request, desk, found),
        "intake": found,
        "acting": desk.way.acting(found.counts),
        "left": desk.way.staying(found.counts),
        "leftover_url": desk.url("leftover", found.pk) if found.leftover_id else "",
        "undo_url": desk.url("undo", found.pk) if found.state == State.DONE and found.made else "",
        "undone": found.findings.get("undone"),
    }
    return render(request, "inspections/file_done.html", told)


def apply_page(request: HttpRequest, desk: Desk, pk: int) -> HttpResponse:
    """Begin to bring the file in; from here on the background works."""
    found = fetched(request, desk, pk)
    if request.POST.get("again") and clock.now() - found.moved_at > QUIET:
        steps.set_free(found)
    acting = desk.way.acting(found.counts)
    try:
        found = steps.start(found, State.APPLYING, at=clock.now(), acting=acting)
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect(desk.url("file", found.pk))
    found.choices["site_ids"] = allowed_sites(request, desk)
    found.save(update_fields=["choices"])
    desk.apply_later(found.pk, request.user.pk)
    return redirect(desk.url("file", found.pk))


def undo_page(request: HttpRequest, desk: Desk, pk: int) -> HttpResponse:
    """Take the file back as far as the domain allows."""
    found = fetched(request, desk, pk)
    try:
        undone = undo_file(desk.way, found, stamp=stamp_of(request))
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
    else:
        said = ngettext(
            "%(n)d line is taken back.", "%(n)d lines are taken back.", undone.taken_back
        )
        messages.success(request, said % {"n": undone.taken_back})
    return redirect(desk.url("file", found.pk))


def leftover_page(request: HttpRequest, desk: Desk, pk: int) -> HttpResponse:
    """The lines that stayed out, to put right and bring back."""
    found = fetched(request, desk, pk)
    if found.leftover is None or not found.leftover.file.storage.exists(found.leftover.file.name):
        raise Http404  # none, or destroyed when somebody it names was forgotten
    with found.leftover.file.open("rb") as file:
        content = file.read()
    return _download(content, f"stayed-out-{found.brought_on:%Y-%m-%d}.xlsx")


def blank_page(request: HttpRequest, desk: Desk) -> HttpResponse:
    """An empty workbook with the headings that map by themselves."""
    columns = [(_(name), _(words)) for name, words in desk.blank]
    return _download(blank_workbook(columns), f"{desk.way.kind}.xlsx")


def _download(content: bytes, name: str) -> HttpResponse:
    headers = {"Content-Disposition": f'attachment; filename="{name}"', "Cache-Control": "no-store"}
    return HttpResponse(content, content_type=XLSX, headers=headers)
