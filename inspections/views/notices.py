"""Safety notices: the list, entering one with what it would hold, revising and withdrawing."""

from __future__ import annotations

from collections.abc import Callable

from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.http import content_disposition_header
from django.utils.translation import gettext as _
from django_tables2 import RequestConfig

from inspections import notice_board as board
from inspections.actions.notices import issue_notice, revise_notice, withdraw_notice
from inspections.forms.notices import NoticeForm, ReasonForm, ReviseForm
from inspections.lists.notices import matches_chosen
from inspections.matching import rule_of
from inspections.models import Notice, NoticeMatch
from inspections.notice_wording import rule_lines
from inspections.tables import TraceTable
from register import clock
from register.access import demand_everywhere, may, may_everywhere, needs
from register.actions.documents import keep_document
from register.forms.deliveries import MOST_BYTES
from register.models import Document, Item
from register.telling import kept, stamp_of

ROWS_A_PAGE = 100


@needs("notice.see")
def notice_list(request: HttpRequest) -> HttpResponse:
    """Those in force with what is still to be settled at the user's sites, then the others."""
    notices = Notice.objects.visible_to(request.user).select_related("revised_by")
    counts = board.counts_of(Item.objects.visible_to(request.user))
    rows = [(one, counts.get(one.pk, board.NONE)) for one in notices]
    page = {
        "in_force": [row for row in rows if row[0].is_in_force],
        "ended": [row for row in rows if not row[0].is_in_force],
        "may_issue": may(request.user, "notice.issue"),
    }
    return render(request, "inspections/notice_list.html", page)


@needs("notice.see")
def notice_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """What it says, and every item it means at the user's sites: who has it, told, settled."""
    notice = _notice(request, pk)
    mine = NoticeMatch.objects.visible_to(request.user).filter(notice=notice)
    chosen = request.GET.get("show", "open")
    now = clock.now()
    table = TraceTable(board.traced(matches_chosen(mine, chosen, now)))
    table.told_by = now
    table.exclude = ("notice",)
    RequestConfig(request, paginate={"per_page": ROWS_A_PAGE}).configure(table)
    counts = board.counts_of(Item.objects.visible_to(request.user))
    page = {
        "notice": notice,
        "rule": rule_lines(rule_of(notice)),
        "counts": counts.get(notice.pk, board.NONE),
        "table": table,
        "show": chosen,
        "may_print": may(request.user, "paper.issue"),
        "may_change": notice.is_in_force and may_everywhere(request.user, "notice.change"),
    }
    return render(request, "inspections/notice_detail.html", page)


@needs("notice.issue")
def notice_new(request: HttpRequest) -> HttpResponse:
    """First what it would hold, then the one press that holds it."""
    given = _given(request)
    form = NoticeForm(given, request.FILES or None)
    page = {"form": form, "what": None}

    def act() -> Notice:
        return issue_notice(form.notice(), stamp=stamp_of(request))

    return _entered(request, form, act, page)


@needs("notice.change")
def notice_revise(request: HttpRequest, pk: int) -> HttpResponse:
    """The next version, with what it would hold; it may free items, so only who has every site."""
    old = _notice(request, pk)
    if request.method == "POST":
        demand_everywhere(request.user, "notice.change")
    form = ReviseForm(_given(request), request.FILES or None, old=old)
    page = {"form": form, "what": old}

    def act() -> Notice:
        because = form.cleaned_data["because"]
        return revise_notice(old, form.notice(), because=because, stamp=stamp_of(request))

    return _entered(request, form, act, page)


@needs("notice.change")
def notice_withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    """The notice holds nothing any more; only who has every site says so."""
    notice = _notice(request, pk)
    if request.method == "POST":
        demand_everywhere(request.user, "notice.change")
    form = ReasonForm(request.POST or None)
    if kept(
        request,
        form,
        lambda: withdraw_notice(
            notice, because=form.cleaned_data["because"], stamp=stamp_of(request)
        ),
        _("%(notice)s is withdrawn and holds nothing any more.") % {"notice": notice},
    ):
        return redirect(notice)
    page = {"notice": notice, "form": form}
    return render(request, "inspections/notice_withdraw.html", page)


@needs("notice.see")
def notice_document(request: HttpRequest, pk: int) -> HttpResponse:
    """The notice as it was received, to be saved."""
    document = _notice(request, pk).document
    if document is None:
        raise Http404
    saved_as = content_disposition_header(True, document.name) or "attachment"
    headers = {"Content-Disposition": saved_as}
    content = document.file.read()
    return HttpResponse(content, content_type="application/octet-stream", headers=headers)


@needs("notice.see")
def notice_reminders(request: HttpRequest) -> HttpResponse:
    """Whom to ring: every piece of an open notice whose holder has not answered in time."""
    now = clock.now()
    mine = NoticeMatch.objects.to_settle().visible_to(request.user)
    table = TraceTable(board.traced(mine.filter(board.silent_since(now))))
    table.told_by = now
    table.empty_text = _("Everybody who holds a piece of an open notice has answered.")
    RequestConfig(request, paginate=False).configure(table)
    return render(request, "inspections/notice_reminders.html", {"table": table})


def _notice(request: HttpRequest, pk: int) -> Notice:
    rows = Notice.objects.visible_to(request.user).select_related(
        *("revised_by", "revises", "document", "recorded_by__person", "withdrawn_by__person")
    )
    found: Notice = get_object_or_404(rows, pk=pk)
    return found


def _given(request: HttpRequest) -> QueryDict | None:
    """What was posted, with the file kept at once: a browser cannot send it a second time."""
    if request.method != "POST":
        return None
    given = request.POST.copy()
    upload = request.FILES.get("document")
    if isinstance(upload, UploadedFile) and 0 < (upload.size or 0) <= MOST_BYTES:
        kind, name = Document.Kind.EVIDENCE, str(upload.name)
        document = keep_document(upload.read(), name=name, kind=kind, stamp=stamp_of(request))
        given["kept"] = document.sha256
    return given


def _entered(
    request: HttpRequest, form: NoticeForm, act: Callable[[], Notice], page: dict[str, object]
) -> HttpResponse:
    """Enter it on 'issue'; else show what it would hold, the form as it was filled in."""
    made: list[Notice] = []
    if "issue" in request.POST and kept(
        request, form, lambda: made.append(act()), _("Entered. What it means is held from now on.")
    ):
        return redirect(made[0])
    if form.is_bound and form.is_valid():
        page["preview"] = board.preview_of(form.notice(), Item.objects.visible_to(request.user))
        page["holds"] = form.cleaned_data["kind"]
    page["may_change"] = page["what"] is None or may_everywhere(request.user, "notice.change")
    return render(request, "inspections/notice_new.html", page)
