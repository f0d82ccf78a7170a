"""Recording by tag in three touches: scan, facts, verdict, and back to the scan box."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from inspections.actions.inspecting import QUARANTINE_AFTER
from inspections.forms.bench import RoundForm
from inspections.looks import facts_for
from inspections.rules import rounds
from inspections.rules.item_facts import PASSES
from inspections.rules.rounds import Round
from inspections.rules.verdict import effect_at_first_tap
from inspections.views.findings import record_verdict
from inspections.views.rounds import begin, inspector_of, keep, look, round_of
from inspections.views.scanning import Scan, scanned
from inspections.wording import kind_name, pace_sentence, verdict_name
from register import clock
from register.access import fetch, needs
from register.actions.conditions import quarantine
from register.models import Item, Site
from register.refusal import Refusal
from register.rules.tags import shown
from register.telling import stamp_of

NEED = "inspection.record"
SHOWN_RESULTS = 6


@needs(NEED)
def inspect(request: HttpRequest) -> HttpResponse:
    """The scan box with the last results; at ?code=, the facts of that item and the verdicts."""
    text = request.GET.get("code", "").strip()
    found = round_of(request)
    if found is None:
        return redirect(f"{reverse('inspections:inspect-round')}?{urlencode({'code': text})}")
    site = Site.objects.get(code=found.site)
    scan = scanned(text, request.user, site) if text else Scan(None)
    earlier = found.earlier(scan.item.code) if scan.item and "again" not in request.GET else None
    page = {"site": site, "scan": scan, "typed": text, "earlier": earlier, **_shown(found)}
    if scan.item and not earlier:
        look(request, found, scan.item)
        page |= _judged(request, scan.item, found)
    return render(request, "inspections/inspect.html", page)


def _judged(request: HttpRequest, item: Item, found: Round) -> dict[str, object]:
    """The facts before a verdict."""
    facts = facts_for(item, inspector_of(request), kind=found.kind, moment=clock.now())
    suggested = facts.suggested_kind
    return {
        "facts": facts,
        "suggested_name": kind_name(suggested) if suggested else "",
    }


def _shown(found: Round) -> dict[str, object]:
    """The round in words: what it looks for, how far it is, what came last."""
    last = [
        {
            "code": entry.code,
            "shown": shown(entry.code),
            "time": entry.time,
            "line": entry.line,
            "usable": entry.usable,
            "passed": entry.verdict in PASSES,
        }
        for entry in reversed(found.entries[-SHOWN_RESULTS:])
    ]
    unsigned = [
        {"code": code, "shown": shown(code), "verdict": verdict, "name": verdict_name(verdict)}
        for code, verdict in found.unsigned.items()
    ]
    return {
        "round": found,
        "kind": kind_name(found.kind),
        "results": last,
        "unsigned": unsigned,
        "pace": pace_sentence(found.pace.median, found.pace.quick) if found.pace else "",
    }


@needs(NEED)
def inspect_round(request: HttpRequest) -> HttpResponse:
    """Choose the site and the kind of inspection, once for the round."""
    under_way = round_of(request)
    asked = {
        "kind": request.GET.get("kind", under_way.kind if under_way else "detailed"),
        "site": request.GET.get("site", under_way.site if under_way else None),
        "covers_periodic": under_way.covers_periodic if under_way else False,
        "code": request.GET.get("code", ""),
    }
    form = RoundForm(request.POST or None, initial=asked, user=request.user)
    if form.is_valid():
        told = form.cleaned_data
        begin(request, told["site"], told["kind"], covers_periodic=told["covers_periodic"])
        return redirect(_at(told["code"]))
    page = {"form": form, "person": inspector_of(request), "round": under_way}
    return render(request, "inspections/inspect_round.html", page)


@needs(NEED)
@require_POST
def inspect_pass(request: HttpRequest, code: str) -> HttpResponse:
    """The one big button: the item whose facts were shown passes."""
    item = fetch(Item.objects.with_product(), request.user, NEED, code=code)
    found = round_of(request)
    if found is None or code not in found.looks:
        messages.error(request, _not_looked_at(item))
        return redirect(_at(code))
    try:
        record_verdict(request, found, item, verdict="pass")
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect(_at(code))
    return redirect("inspections:inspect")


@needs(NEED)
@require_POST
def inspect_stop(request: HttpRequest, code: str, verdict: str) -> HttpResponse:
    """The first tap of a bad verdict: the item is out at once, the words come after."""
    item = fetch(Item.objects.with_product(), request.user, NEED, code=code)
    if effect_at_first_tap(verdict) != "quarantine":
        raise Http404
    found = round_of(request)
    try:
        if found is None or code not in found.unsigned:
            quarantine(item, reason=QUARANTINE_AFTER[verdict], stamp=stamp_of(request))
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect(_at(code))
    if found is None:
        messages.warning(request, _("%(item)s is out of use.") % {"item": item.shown_code})
        return redirect(_at(code))
    keep(request, rounds.stopped(look(request, found, item), code, verdict))
    address = reverse("inspections:inspect-finding", args=[code, verdict])
    point = request.POST.get("point", "")
    return redirect(f"{address}?{urlencode({'point': point})}" if point else address)


def _at(code: str) -> str:
    """The bench, with the facts of this tag where there is one."""
    return reverse("inspections:inspect") + (f"?{urlencode({'code': code})}" if code else "")


def _not_looked_at(item: Item) -> str:
    return _("%(item)s was not looked at in this round: scan it, then give the verdict.") % {
        "item": item.shown_code
    }
