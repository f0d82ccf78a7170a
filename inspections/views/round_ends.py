"""How a round ends: the list before the signature, the signature, the report, or dropped."""

from __future__ import annotations

import uuid

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from inspections.actions.round_ends import drop_round, sign_round
from inspections.actions.rounds import is_own
from inspections.forms.rounds import DropForm, SignForm
from inspections.round_board import lines_of, report_lines, round_words, tally_of, time_at
from inspections.round_wording import tally_sentence
from inspections.views.going_round import NEED, page_of, round_seen
from register import clock
from register.access import may, needs
from register.telling import kept, stamp_of


@needs(NEED)
def round_sign(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """The whole list, then one signature by its inspector."""
    found = round_seen(request, NEED, pk)
    form = SignForm(request.POST or None)
    said = _("Signed. The passes count from now on, each from its own day.")
    if kept(
        request,
        form,
        lambda: sign_round(found, stamp=stamp_of(request), **form.cleaned_data),
        said,
    ):
        return redirect("inspections:round-report", pk)
    page = {"form": form, "own": is_own(found, request.user), **page_of(found, lines_of(found))}
    return render(request, "inspections/round_sign.html", page)


@needs("round.see")
def round_report(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """The round on paper: every line with its time, verdict, defects and what it is good for."""
    found = round_seen(request, "round.see", pk)
    lines = lines_of(found)
    page = {
        "round": found,
        "words": round_words(found),
        "tally": tally_sentence(tally_of(lines)),
        "lines": report_lines(found, lines),
        "today": clock.today(found.site),
    }
    if found.signed_at:
        page["signed_on"] = clock.day_at(found.site, found.signed_at)
        page["signed_time"] = time_at(found.site, found.signed_at)
    return render(request, "inspections/round_report.html", page)


@needs("round.drop")
def round_drop(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """A round that nobody will sign is ended, by its inspector or a manager."""
    found = round_seen(request, "round.drop", pk)
    if not is_own(found, request.user) and not may(
        request.user, "round.drop-anothers", found.site_id
    ):
        raise PermissionDenied
    form = DropForm(request.POST or None)
    said = _("Dropped. What is out stays out, and no pass of this round counts.")
    if kept(
        request,
        form,
        lambda: drop_round(found, stamp=stamp_of(request), **form.cleaned_data),
        said,
    ):
        return redirect("inspections:round-list")
    page = {"form": form, "round": found, "words": round_words(found)}
    page["tally"] = tally_sentence(tally_of(found.lines.all()))
    return render(request, "inspections/round_drop.html", page)
