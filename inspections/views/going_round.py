"""Rounds: those that are open, a new one, and the page from which one is gone."""

from __future__ import annotations

import uuid
from urllib.parse import urlencode

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from inspections.actions.rounds import Plan, begin_round, is_own
from inspections.forms.rounds import RoundBeginForm
from inspections.models import Round, RoundLine
from inspections.round_board import (
    chosen_words,
    items_chosen,
    lines_of,
    others_at,
    round_words,
    shown_lines,
    tallies_of,
    tally_of,
)
from inspections.round_wording import tally_sentence
from inspections.rules.round_lines import EXPECTED, is_overdue_for_signing
from inspections.views.rounds import inspector_of
from inspections.views.scanning import Scan, at_round
from register import clock
from register.access import fetch, may, needs
from register.models import Item
from register.refusal import Refusal
from register.telling import stamp_of

NEED = "inspection.record"
CLOSED_SHOWN = 30


@needs("round.see")
def round_list(request: HttpRequest) -> HttpResponse:
    """Your open rounds first, then those of others, then the last that were closed."""
    seen = Round.objects.visible_to(request.user).select_related("site", "inspector")
    rounds = [*seen.open(), *seen.exclude(pk__in=seen.open().values("pk"))[:CLOSED_SHOWN]]
    counts, now = tallies_of(rounds), clock.now()
    rows = [
        {
            "round": one,
            "words": round_words(one),
            "tally": tally_sentence(counts[one.pk]),
            "late": one.is_open and is_overdue_for_signing(one.began_at, now),
            "own": is_own(one, request.user),
        }
        for one in rounds
    ]
    page = {
        "own": [row for row in rows if row["own"] and row["round"].is_open],
        "others": [row for row in rows if not row["own"] and row["round"].is_open],
        "closed": [row for row in rows if not row["round"].is_open],
        "may_begin": may(request.user, NEED),
    }
    return render(request, "inspections/round_list.html", page)


@needs(NEED)
def round_new(request: HttpRequest) -> HttpResponse:
    """Choose what the round is to see; the list is kept as it was at the start."""
    asked = {name: request.GET.get(name, "") for name in ("site", "kind")}
    first = {"days": 14, **{name: value for name, value in asked.items() if value}}
    form = RoundBeginForm(request.POST or None, initial=first, user=request.user)
    if form.is_valid():
        try:
            return redirect(_begun(request, form))
        except Refusal as refusal:
            form.add_error(None, refusal.sentence)
    mine = Round.objects.visible_to(request.user).open().filter(inspector=inspector_of(request))
    page = {"form": form, "open": mine.select_related("site") if inspector_of(request) else []}
    return render(request, "inspections/round_new.html", page)


def _begun(request: HttpRequest, form: RoundBeginForm) -> Round:
    told = form.cleaned_data
    site = told["site"]
    items = [] if told["open_list"] else list(items_chosen(site, told, clock.today(site)))
    if not items and not told["open_list"]:
        raise Refusal(
            "nothing-matches",
            _("Nothing in service here is %(chosen)s. Choose more, or begin without a list.")
            % {"chosen": chosen_words(told)},
        )
    plan = Plan(
        site=site,
        kind=told["kind"],
        covers_periodic=told["covers_periodic"],
        chosen=chosen_words(told),
        id=told["id"],
    )
    found = begin_round(plan, inspector=inspector_of(request), items=items, stamp=stamp_of(request))
    if shared := len(others_at(found, [item.pk for item in items])):
        words = ngettext(
            "%(n)d of these is on the list of another open round too: each says whose.",
            "%(n)d of these are on the list of another open round too: each says whose.",
            shared,
        )
        messages.warning(request, words % {"n": shared})
    return found


@needs("round.see")
def round_detail(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """The code field, one line of result, the running count; at ?code=, on to that item."""
    found = round_seen(request, "round.see", pk)
    text = request.GET.get("code", "").strip()
    own = is_own(found, request.user) and may(request.user, NEED, found.site_id)
    scan = at_round(text, request.user, found.site) if text else Scan(None)
    lines = lines_of(found)
    earlier = _earlier(scan.item, lines) if scan.item and "again" not in request.GET else None
    if scan.item and own and found.is_open and not earlier:
        address = reverse("inspections:round-look", args=[pk, scan.item.code])
        return redirect(f"{address}?{urlencode({'code': text})}")
    return render(
        request,
        "inspections/round_detail.html",
        {"scan": scan, "typed": text, "own": own, **page_of(found, lines, earlier)},
    )


def page_of(
    found: Round, lines: list[RoundLine], earlier: RoundLine | None = None
) -> dict[str, object]:
    """The round in words; the number of queries does not grow with its lines."""
    shown = shown_lines(found, lines)
    touched = [one for one in shown if one.line.at]
    return {
        "round": found,
        "words": round_words(found),
        "tally": tally_sentence(tally_of(lines)),
        "last": touched[0] if touched else None,
        "before": touched[1:],
        "expected": [one for one in shown if one.line.state == EXPECTED],
        "unwritten": [one for one in shown if one.line.stopped],
        "earlier": next((one for one in shown if earlier and one.line.pk == earlier.pk), None),
        "late": found.is_open and is_overdue_for_signing(found.began_at, clock.now()),
    }


def round_seen(request: HttpRequest, need: str, pk: uuid.UUID) -> Round:
    """The round, where its site is the user's and the need is held there."""
    rows: QuerySet[Round] = Round.objects.select_related("site", "inspector", "signed_by__person")
    return fetch(rows, request.user, need, pk=pk)


def _earlier(item: Item, lines: list[RoundLine]) -> RoundLine | None:
    """The last look at the item in this round; one whose words are missing is not done yet."""
    mine = [one for one in lines if one.item_id == item.pk and one.inspection and one.at]
    return max(mine, key=lambda one: (one.at, one.pk)) if mine else None  # type: ignore[arg-type,return-value]
