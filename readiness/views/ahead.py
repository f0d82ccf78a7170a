"""What the months ahead hold: what lapses, what everything hangs on, and whose leave uncovers what."""

from __future__ import annotations

from collections.abc import Sequence

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from readiness.board import hangs, lapses
from readiness.board.leaves import leave_board
from readiness.board.reading import timelines_from
from readiness.board.standings import standings
from readiness.forms.leave import LeaveForm
from readiness.rules.statement import HORIZON_DAYS
from readiness.wording import cause_kind
from register.access import may, needs, sites_for
from register.clock import now
from register.models import Person


def _asked(request: HttpRequest, counts: Sequence[int]) -> int:
    """The days in ?days=30; the fewest where it is missing or none of them."""
    asked = [count for count in counts if str(count) == request.GET.get("days")]
    return next(iter(asked), counts[0])


@needs("lapse.see")
def lapse_list(request: HttpRequest) -> HttpResponse:
    """What ends within the days asked for, by cause, with what it uncovers."""
    at, days = now(), _asked(request, lapses.COUNTS)
    sites = list(sites_for(request.user, "lapse.see"))
    known = timelines_from(sites, at, HORIZON_DAYS)
    board = lapses.lapse_board(standings(sites, at), known, at, days)
    shown = {
        "board": board,
        "groups": [(cause_kind(kind), held) for kind, held in board.groups],
        "days": days,
        "counts": lapses.COUNTS,
    }
    return render(request, "readiness/lapse_list.html", shown)


@needs("lapse.see")
def hangs_on(request: HttpRequest) -> HttpResponse:
    """Each kit, person and anchor whose loss would uncover a task; most workers first."""
    at, days = now(), _asked(request, hangs.COUNTS)
    sites = list(sites_for(request.user, "lapse.see"))
    found = standings(sites, at)
    shown = {
        "hung": hangs.hangs_on(found, timelines_from(sites, at, days), at, days),
        "unknown": [one.site for one in found if not one.fresh],
        "days": days,
        "counts": hangs.COUNTS,
        "may_check": may(request.user, "rota.edit"),
    }
    return render(request, "readiness/hangs_on.html", shown)


@needs("rota.edit")
def leave_check(request: HttpRequest) -> HttpResponse:
    """Before leave is granted: what it would uncover at the sites whose rota the user keeps."""
    sites = list(sites_for(request.user, "rota.edit"))
    people = Person.objects.filter(rota__site__in=sites).distinct().order_by("name", "pk")
    form = LeaveForm(request.GET or None, people=people)
    board = None
    if form.is_bound and form.is_valid():
        asked = form.cleaned_data
        board = leave_board(asked["person"], asked["from_on"], asked["to_on"], sites, now())
    status = 422 if form.is_bound and form.errors else 200
    return render(
        request, "readiness/leave_check.html", {"form": form, "board": board}, status=status
    )
