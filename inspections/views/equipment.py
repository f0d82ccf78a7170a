"""The equipment list, the page of one item, and the acts that ask whether it is usable."""

from __future__ import annotations

from pathlib import PurePath

from django.contrib import messages
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.http import content_disposition_header
from django.utils.translation import gettext as _
from django_tables2 import RequestConfig

from inspections import history, record
from inspections.actions import using
from inspections.filters import ItemFilter
from inspections.forms.acts import ReleaseForm, UseForm
from inspections.item_acts import acts_for
from inspections.notice_board import notices_of
from inspections.notice_wording import doubt_words
from inspections.tables import ItemTable
from inspections.wording import verdict_sentence
from register import clock
from register.access import fetch, may, needs
from register.actions.holding import holds_on
from register.actions.reversing import open_reversal
from register.asking_again import asks_again
from register.finding import item_named, why_no_tag
from register.models import Item, Site
from register.refusal import Refusal
from register.rules import tags
from register.telling import kept, stamp_of

ROWS_A_PAGE = 50
TOLD_BESIDE = ("delivery__declaration", "bound_for", "as_kit", "quarantined_by__person")


@needs("item.see")
def item_list(request: HttpRequest) -> HttpResponse:
    """Items in rows; a sound tag in the search box leads straight to its item."""
    moment = clock.now()
    rows = Item.objects.visible_to(request.user).with_product()
    text = request.GET.get("q", "")
    if tags.read(text).code and (item := _tagged(request, rows, text)):
        return redirect(item)
    first_site = Site.objects.visible_to(request.user).first()
    today = clock.day_at(first_site, moment) if first_site else moment.date()
    found = ItemFilter(request.GET, rows, user=request.user, today=today)
    table = ItemTable(found.qs, order_by="code")
    RequestConfig(request, paginate={"per_page": ROWS_A_PAGE}).configure(table)
    table.verdicts = record.verdicts_at(table.shown_items, moment)
    if not table.paginator.count and tags.read(text).problem == "mistyped":
        table.empty_text = why_no_tag(text)
    return render(request, "inspections/item_list.html", {"filter": found, "table": table})


@needs("item.see")
def item_detail(request: HttpRequest, code: str) -> HttpResponse:
    """All that is recorded of one item; an old tag leads here too."""
    rows = Item.objects.visible_to(request.user).with_product()
    item = get_object_or_404(
        rows.select_related(*TOLD_BESIDE),
        tags__code=tags.read(code).code or code,
    )
    verdict = record.verdicts_at([item], clock.now())[item.pk]
    found = record.inspections_of(item)
    holds = list(holds_on(item))
    page = {
        "item": item,
        "verdict": verdict,
        "sentence": verdict_sentence(verdict),
        "acts": acts_for(request.user, item, is_held=bool(holds)),
        "clocks": record.clock_lines(item),
        "facts": record.facts_shown(item),
        "part": record.part_of(item),
        "holds": holds,
        "events": item.event_lines.select_related("event").order_by("-event__happened_at"),
        "asked": open_reversal(item),
        "matches": [(one, doubt_words(one.doubts)) for one in notices_of(item)],
        "may_see_notices": may(request.user, "notice.see"),
        "inspections": found,
        "waits": any(record.waits(one) for one in found),
        "movements": item.movements.select_related("by__person", "person", "from_site", "to_site"),
        "history": history.lines_of(item),
        "documents": record.documents_of(item),
    }
    return render(request, "inspections/item_detail.html", page)


@needs("item.see")
def item_document(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """One file about an item, to be saved; never shown inside a page of ours."""
    item = fetch(Item.objects.all(), request.user, "item.see", code=code)
    document = get_object_or_404(record.documents_of(item), pk=pk)
    try:
        content = document.file.read()
    except FileNotFoundError as error:
        raise Http404 from error
    saved_as = content_disposition_header(True, PurePath(document.name).name) or "attachment"
    headers = {"Content-Disposition": saved_as}
    return HttpResponse(content, content_type="application/octet-stream", headers=headers)


@needs("item.release")
@asks_again
def item_release(request: HttpRequest, code: str) -> HttpResponse:
    item = fetch(Item.objects.with_product(), request.user, "item.release", code=code)
    form = ReleaseForm(request.POST or None)
    if kept(
        request,
        form,
        lambda: using.release_from_quarantine(item, stamp=stamp_of(request)),
        _("%(item)s is back in service.") % {"item": item.shown_code},
    ):
        return redirect(item)
    return render(request, "inspections/item_release.html", {"item": item, "form": form})


@needs("item.change-use")
def item_change_use(request: HttpRequest, code: str) -> HttpResponse:
    item = fetch(Item.objects.with_product(), request.user, "item.change-use", code=code)
    form = UseForm(request.POST or None, initial={"use_class": item.use_class})
    if kept(
        request,
        form,
        lambda: using.change_use(item, stamp=stamp_of(request), **form.cleaned_data),
        _("%(item)s: other conditions of use; its dates are counted anew.")
        % {"item": item.shown_code},
    ):
        return redirect(item)
    return render(request, "inspections/item_change_use.html", {"item": item, "form": form})


def _tagged(request: HttpRequest, rows: QuerySet[Item], text: str) -> Item | None:
    """The item of a sound tag; where there is none at the user's sites, that is told."""
    try:
        return item_named(rows, text)
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return None
