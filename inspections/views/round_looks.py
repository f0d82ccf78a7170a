"""The acts of a round at one item: all good, something is wrong, not there, on no record."""

from __future__ import annotations

import uuid
from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from inspections.actions.round_ends import note_stray, take_on_in_round
from inspections.actions.rounds import is_own, look_in_round, stop_in_round
from inspections.checklist_wording import cues_shown
from inspections.conditions import verdict_at
from inspections.forms.rounds import LookForm, StrayForm
from inspections.looks import facts_for
from inspections.models import Round, RoundLine
from inspections.round_board import others_at, tally_of
from inspections.round_wording import tally_sentence
from inspections.rules.item_facts import PASSES
from inspections.rules.round_lines import a_pass_mends
from inspections.rules.verdict import VERDICTS, effect_at_first_tap
from inspections.views.defects import keep_photos
from inspections.views.findings import (
    Asked,
    Bench,
    bench_of,
    contents_of,
    finding_of,
    says_something,
)
from inspections.views.going_round import NEED, round_seen
from inspections.views.rounds import inspector_of
from inspections.views.scanning import at_round
from inspections.wording import kind_name, verdict_name, verdict_sentence
from register import clock
from register.access import fetch, needs
from register.models import Item
from register.refusal import Refusal
from register.rules.conditions import Condition
from register.telling import stamp_of


@needs(NEED)
def round_look(request: HttpRequest, pk: uuid.UUID, code: str) -> HttpResponse:
    """One item with what to look for and what was last seen, before the verdict."""
    found, item = _at_hand(request, pk, code)
    if not (found.is_open and is_own(found, request.user)):
        return redirect(found)
    facts = facts_for(item, inspector_of(request), kind=found.kind, moment=clock.now())
    by_text = at_round(request.GET.get("code", ""), request.user, found.site)
    is_this = by_text.item is not None and by_text.item.pk == item.pk
    page = {
        "round": found,
        "facts": facts,
        "scan": by_text if is_this else at_round(item.code, request.user, found.site),
        "look": _look_begun(found, item) or uuid.uuid4(),
        "other": others_at(found, [item.pk]).get(item.pk, ""),
        "kind": kind_name(found.kind),
        "suggested_name": kind_name(facts.suggested_kind) if facts.suggested_kind else "",
        "tally": tally_sentence(tally_of(found.lines.all())),
        "withdrawn": item.condition in (Condition.WITHDRAWN, Condition.DESTROYED, Condition.LEFT),
    }
    return render(request, "inspections/round_look.html", page)


def _look_begun(found: Round, item: Item) -> uuid.UUID | None:
    """The id of a look that a first tap began and whose words are still missing."""
    begun = found.lines.filter(item=item).exclude(stopped="")
    return begun.values_list("look", flat=True).first()


@needs(NEED)
@require_POST
def round_pass(request: HttpRequest, pk: uuid.UUID, code: str) -> HttpResponse:
    """The one big button: all points looked at, all good."""
    found, item = _at_hand(request, pk, code)
    look = _look_of(request)
    if look is None:
        messages.error(request, _not_looked_at(item))
        return redirect(found)
    try:
        _looked(request, found, item, verdict="pass", look=look)
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
    return redirect(found)


@needs(NEED)
@require_POST
def round_stop(request: HttpRequest, pk: uuid.UUID, code: str, verdict: str) -> HttpResponse:
    """Something is wrong: the item is out at once, the words come after."""
    found, item = _at_hand(request, pk, code)
    if effect_at_first_tap(verdict) != "quarantine":
        raise Http404
    look = _look_of(request) or uuid.uuid4()
    try:
        line = stop_in_round(found, item, verdict=verdict, look=look, stamp=stamp_of(request))
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect(found)
    if line is None:
        words = _(
            "%(item)s is out of use. This round is not yours or closed: it has no line for it."
        )
        messages.warning(request, words % {"item": item.shown_code})
        return redirect(found)
    address = reverse("inspections:round-finding", args=[pk, code, verdict])
    point = request.POST.get("point", "")
    asked = {"look": str(look), **({"point": point} if point else {})}
    return redirect(f"{address}?{urlencode(asked)}")


@needs(NEED)
def round_finding(request: HttpRequest, pk: uuid.UUID, code: str, verdict: str) -> HttpResponse:
    """What is wrong, how bad and what was done; or a pass with what must be ticked or measured."""
    found, item = _at_hand(request, pk, code)
    if verdict not in VERDICTS:
        raise Http404
    look = _look_of(request) or _look_begun(found, item) or uuid.uuid4()
    bench = bench_of(request, item, kind=found.kind, verdict=verdict)
    if bench.is_valid and says_something(bench):
        try:
            _looked(request, found, item, verdict=verdict, look=look, bench=bench)
        except Refusal as refusal:
            bench.words.add_error(None, refusal.sentence)
        else:
            return redirect(found)
    if request.method == "POST":
        keep_photos(request, item, bench.defects)
    page: dict[str, object] = {"round": found, "item": item, "verdict": verdict, "look": look}
    page |= {"name": verdict_name(verdict), "cues": cues_shown(item.product.equipment_class)}
    page |= {"form": bench.words, "defects": bench.defects, "checklist": bench.checklist}
    page |= {"contents": bench.contents, "in_round": True}
    page["tally"] = tally_sentence(tally_of(found.lines.all()))
    page["stopped"] = found.lines.filter(item=item).exclude(stopped="").exists()
    return render(request, "inspections/round_finding.html", page)


@needs(NEED)
def round_stray(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """On no record: only noted as that, or taken on in quarantine on the spot."""
    found = round_seen(request, NEED, pk)
    first = {"text": request.GET.get("code", "")[:60], "look": uuid.uuid4()}
    form = StrayForm(request.POST or None, initial=first)
    only_noted = "note" in request.POST
    if only_noted:
        for name in ("product", "maker", "designation", "equipment_class"):
            del form.fields[name]
    if form.is_valid():
        try:
            _stray(request, found, form, only_noted=only_noted)
        except Refusal as refusal:
            form.add_error(None, refusal.sentence)
        else:
            return redirect(found)
    page = {"round": found, "form": form, "tally": tally_sentence(tally_of(found.lines.all()))}
    return render(request, "inspections/round_stray.html", page)


def _stray(request: HttpRequest, found: Round, form: StrayForm, *, only_noted: bool) -> RoundLine:
    told, stamp = form.cleaned_data, stamp_of(request)
    text, look = told["text"], told["look"]
    if only_noted:
        there = at_round(text, request.user, found.site).elsewhere if text else None
        words = text or _("no tag") + (f", {told['serial']}" if told["serial"] else "")
        return note_stray(found, text=words, item=there, look=look, stamp=stamp)
    line = take_on_in_round(
        found, form.chosen, serial=told["serial"], text=text, look=look, stamp=stamp
    )
    if line.item:
        words = _("Taken on in quarantine as %(code)s: write this code on it and put it aside.")
        messages.success(request, words % {"code": line.item.shown_code})
    return line


def _at_hand(request: HttpRequest, pk: uuid.UUID, code: str) -> tuple[Round, Item]:
    found = round_seen(request, NEED, pk)
    return found, fetch(Item.objects.with_product(), request.user, NEED, code=code)


def _looked(
    request: HttpRequest,
    found: Round,
    item: Item,
    *,
    verdict: str,
    look: uuid.UUID,
    bench: Bench | None = None,
) -> None:
    """Record the look, with all that was told in the forms."""
    asked = Asked(
        verdict=verdict, kind=found.kind, covers_periodic=found.covers_periodic, look=look
    )
    finding = finding_of(request, item, asked, bench)
    contents = contents_of(item, finding, bench)
    look_in_round(found, item, finding=finding, contents=contents, stamp=stamp_of(request))
    if verdict in PASSES:
        _tell_what_stays_out(request, item)


def _tell_what_stays_out(request: HttpRequest, item: Item) -> None:
    """A pass that brings nothing back says so at once, in one line."""
    item = Item.objects.with_product().get(pk=item.pk)
    verdict = verdict_at(item, clock.now())
    if verdict.usable or a_pass_mends(verdict.code, dict(verdict.facts).get("clock", "")):
        return
    words = _("%(item)s: the pass alone does not bring it back. %(why)s.")
    facts = {"item": item.shown_code, "why": verdict_sentence(verdict)}
    messages.warning(request, words % facts)


def _look_of(request: HttpRequest) -> uuid.UUID | None:
    form = LookForm(request.POST if request.method == "POST" else request.GET)
    return form.cleaned_data["look"] if form.is_valid() else None


def _not_looked_at(item: Item) -> str:
    return _("%(item)s was not looked at in this round: scan it, then give the verdict.") % {
        "item": item.shown_code
    }
