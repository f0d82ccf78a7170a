"""Which sites lack rescue cover and why: the morning page, one site, one task's every kit and person."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from inspections.conditions import overdue_on
from inspections.notice_board import holding_words
from readiness.board.mornings import SiteMorning, headline, morning_of
from readiness.board.sites import HORIZON_DAYS, board_of, other_shifts
from readiness.board.whys import why_board
from readiness.facts import read, situation_of
from readiness.models import Task
from readiness.views.days import around, asked_day, day_for, keep, shift_for, time_at
from register.access import fetch, may, needs, sites_for
from register.clock import now, today
from register.models import Item, Site

MOST_SITES = 50
"""Shown at once; those after them are in less trouble, and counted."""


@needs("cover.see")
def morning(request: HttpRequest) -> HttpResponse:
    """Every site of the user on its own today, or on the day asked for; worst first."""
    sites = list(sites_for(request.user, "cover.see"))
    boards = _mornings(sites, asked_day(request))
    day = boards[0].day if boards else asked_day(request) or now().date()
    checked = time_at(boards[0].site) if boards else ""
    shown = {
        "sites": boards[:MOST_SITES],
        "more": len(boards[MOST_SITES:]),
        "overdue": _overdue_on_issue(sites, day),
        "held_words": holding_words(sites),
        "may_see_notices": may(request.user, "notice.see"),
        "headline": headline(boards, checked) if boards else "",
        "checked": checked,
        **around(day),
    }
    return render(request, "readiness/morning.html", shown)


def _overdue_on_issue(sites: Sequence[Site], day: date) -> int:
    """Pieces that somebody holds though a date of theirs has passed or is not known."""
    return Item.objects.filter(overdue_on(day), site__in=sites, custody="person").count()


def _mornings(sites: Sequence[Site], asked: date | None) -> list[SiteMorning]:
    """Sites whose days differ just now, because their clocks do, are read apart."""
    by_day: dict[date, list[Site]] = defaultdict(list)
    for site in sites:
        by_day[asked or today(site)].append(site)
    found = [one for day, group in by_day.items() for one in morning_of(group, day)]
    return sorted(found, key=lambda one: one.trouble)


@needs("cover.see")
def site_cover(request: HttpRequest, site: str) -> HttpResponse:
    """One site on one shift: each task with its line, its reasons and what serves it."""
    place = fetch(Site.objects.all(), request.user, "cover.see", code=site)
    day = day_for(request, place)
    (rows,) = read([place], day, day + timedelta(days=HORIZON_DAYS))
    shift = shift_for(request, rows.shifts, place)
    shown = {
        "site": place,
        "shifts": rows.shifts,
        "shift": shift,
        "board": board_of(rows, day, shift) if shift else None,
        "others": other_shifts(rows, day, shift) if shift else (),
        "checked": time_at(place),
        "keep": keep(shift),
        "may_plan": may(request.user, "task.edit", place),
        "may_run": may(request.user, "rota.edit", place),
        "may_rank": may(request.user, "first-call.give", place),
        "policy": rows.policy,
        "may_change_policy": may(request.user, "policy.change"),
        **around(day),
    }
    return render(request, "readiness/site_cover.html", shown)


@needs("cover.see")
def task_why(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """Every kit and every person, with all that speaks against each for this task."""
    rows = Task.objects.select_related("site", "zone")
    chosen = fetch(rows, request.user, "cover.see", site__code=site, code=task)
    day = day_for(request, chosen.site)
    (around_it,) = read([chosen.site], day, day)
    shifts = [one for one in around_it.shifts if one in chosen.shifts.all()]
    shift = shift_for(request, shifts, chosen.site)
    why = why_board(situation_of(around_it, day, shift, 0), chosen) if shift else None
    shown = {
        "task": chosen,
        "shifts": shifts,
        "shift": shift,
        "keep": keep(shift),
        "why": why,
        "may_rate": may(request.user, "kit.rate", chosen.site_id),
        "may_roster": may(request.user, "rota.edit", chosen.site_id),
        **around(day),
    }
    return render(request, "readiness/task_why.html", shown)
