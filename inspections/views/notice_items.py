"""What is done about one item that a notice means, each a page with its question."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from inspections.actions.notice_items import acknowledge, close_match, read_label, reopen_match
from inspections.forms.notices import LabelForm, ReasonForm, SettleForm, ToldForm, label_on_record
from inspections.models import NoticeMatch
from inspections.notice_board import notices_of
from inspections.notice_wording import certainty_name, doubt_words
from inspections.rules.notice_kinds import Outcome, outcomes_for
from register.access import fetch, may, needs
from register.actions.label_reading import Label
from register.models import Item
from register.refusal import Refusal
from register.telling import kept, stamp_of


@needs("item.read-label")
def item_read_label(request: HttpRequest, code: str) -> HttpResponse:
    """What the label says goes on record, and every notice is asked again at once."""
    item = fetch(Item.objects.with_product(), request.user, "item.read-label", code=code)
    form = LabelForm(request.POST or None, initial=label_on_record(item))

    def act() -> Sequence[NoticeMatch]:
        told = dict(form.cleaned_data)
        how = told.pop("how")
        return read_label(item, label=Label(**told), how=how, stamp=stamp_of(request))

    if kept(
        request,
        form,
        act,
        _("%(item)s: what the label says is on record.") % {"item": item.shown_code},
    ):
        for one in notices_of(item):
            messages.info(request, _told(one))
        return redirect(item)
    page = {"item": item, "form": form, "matches": notices_of(item)}
    return render(request, "inspections/item_read_label.html", page)


@needs("notice.acknowledge")
def match_acknowledge(request: HttpRequest, pk: int, code: str) -> HttpResponse:
    """The holder knows: said by the holder, or recorded by who told them."""
    match = _match(request, "notice.acknowledge", pk, code)
    form = ToldForm(request.POST or None)

    def act() -> NoticeMatch:
        _refuse_bystander(request, match)
        return acknowledge(match, stamp=stamp_of(request), **form.cleaned_data)

    if kept(
        request,
        form,
        act,
        _("%(item)s: it is on record that the holder knows.") % {"item": match.item.shown_code},
    ):
        return redirect(match.item)
    return _page(request, "inspections/match_acknowledge.html", match, form)


@needs("notice.settle")
def match_settle(request: HttpRequest, pk: int, code: str) -> HttpResponse:
    """How the notice ended for this item; what frees it is for an inspector to say."""
    match = _match(request, "notice.settle", pk, code)
    outcomes = [one for one in outcomes_for(match.notice.kind) if _may_say(request, match, one)]
    form = SettleForm(request.POST or None, outcomes=outcomes)
    if kept(
        request,
        form,
        lambda: close_match(match, stamp=stamp_of(request), **form.cleaned_data),
        _("%(item)s: %(notice)s is settled.")
        % {"item": match.item.shown_code, "notice": match.notice},
    ):
        return redirect(match.notice)
    return _page(request, "inspections/match_settle.html", match, form)


@needs("notice.settle")
def match_reopen(request: HttpRequest, pk: int, code: str) -> HttpResponse:
    """Settled in error: held again at once."""
    match = _match(request, "notice.settle", pk, code)
    form = ReasonForm(request.POST or None)
    if kept(
        request,
        form,
        lambda: reopen_match(match, stamp=stamp_of(request), **form.cleaned_data),
        _("%(item)s: %(notice)s is open again.")
        % {"item": match.item.shown_code, "notice": match.notice},
    ):
        return redirect(match.notice)
    return _page(request, "inspections/match_reopen.html", match, form)


def _match(request: HttpRequest, need: str, pk: int, code: str) -> NoticeMatch:
    rows = NoticeMatch.objects.select_related(
        *("notice", "item__product", "item__site", "item__holder", "item__zone", "item__kit")
    )
    return fetch(rows, request.user, need, notice=pk, item__code=code)


def _page(request: HttpRequest, template: str, match: NoticeMatch, form: object) -> HttpResponse:
    page = {"match": match, "item": match.item, "notice": match.notice, "form": form}
    return render(request, template, {**page, "doubts": doubt_words(match.doubts)})


def _may_say(request: HttpRequest, match: NoticeMatch, outcome: Outcome) -> bool:
    """Good news is for an inspector, the end of an item for who may withdraw it."""
    need = "item.withdraw" if outcome.slug == "withdrawn" else "notice.settle"
    if outcome.lifts_hold or outcome.lifts_deadline:
        need = "notice.free"
    return may(request.user, need, match.site_id)


def _refuse_bystander(request: HttpRequest, match: NoticeMatch) -> None:
    is_holder = bool(match.item.holder_id) and (
        getattr(request.user, "person_id", None) == match.item.holder_id
    )
    if not (is_holder or may(request.user, "notice.tell", match.site_id)):
        raise Refusal("not-the-holder", _("Only its holder, or who runs the site, can say this."))


def _told(match: NoticeMatch) -> str:
    """'Orla N-7: possible (batch not recorded)'."""
    words = f"{match.notice}: {certainty_name(match.certainty).lower()}"
    return f"{words} ({doubts})." if (doubts := doubt_words(match.doubts)) else f"{words}."
