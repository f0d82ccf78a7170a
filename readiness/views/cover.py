"""Which sites lack rescue cover and why: the morning page, one site, one task's every kit and person."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from inspections.notice_board import holding_words
from readiness.board.counts import headline
from readiness.board.falls import sums_to_redo
from readiness.board.mornings import morning_of, site_mornings
from readiness.board.reading import timelines_from
from readiness.board.rescues import rescues_to_redo
from readiness.board.restraints import restraints_to_redo
from readiness.board.since import since_yesterday
from readiness.board.sites import site_board
from readiness.board.standings import standings
from readiness.board.whys import why_board
from readiness.facts import timelines
from readiness.facts.situations import policy_of
from readiness.models import CoverPolicy, Task
from readiness.rules.moments import Moments
from readiness.rules.statement import HORIZON_DAYS
from readiness.views.checks import to_be_told
from readiness.views.days import asked_of, asked_words, time_at
from readiness.wording import weekday_and_day
from register.access import fetch, may, needs, sites_for
from register.clock import day_at, now
from register.models import Site

MOST_SITES = 50
"""Shown at once; those after them are in less trouble, and counted."""


@needs("cover.see")
def morning(request: HttpRequest) -> HttpResponse:
    """Every site of the user over its next 24 hours, worst first; and what happened since yesterday."""
    at = now()
    sites = list(sites_for(request.user, "cover.see"))
    boards = morning_of(standings(sites, at), at)
    checked = time_at(boards[0].site, at) if boards else ""
    shown = {
        "sites": boards[:MOST_SITES],
        "more": len(boards[MOST_SITES:]),
        "silent": [board for board in boards if board.unknown],
        "headline": headline([board.count for board in boards], checked) if boards else "",
        "since": since_yesterday(sites, at),
        "day_words": weekday_and_day(day_at(boards[0].site, at) if boards else at.date()),
        "held_words": holding_words(sites),
        "may_see_notices": may(request.user, "notice.see"),
        "checked": checked,
        **to_be_told(request, sites),
    }
    return render(request, "readiness/morning.html", shown)


@needs("cover.see")
def site_cover(request: HttpRequest, site: str) -> HttpResponse:
    """One site: each task along the days, and hour by hour on the day that is asked for."""
    at = now()
    place = fetch(Site.objects.all(), request.user, "cover.see", code=site)
    asked = asked_of(request, place, at)
    (board,) = site_mornings(standings([place], at), at)
    tasks = {task.code: task for task in Task.objects.filter(site=place)}
    known = timelines_from([place], at, HORIZON_DAYS)[place.pk]
    policy = CoverPolicy.objects.first() or CoverPolicy()
    shown = {
        "site": place,
        "morning": board,
        "board": site_board(board, asked, tasks, Moments(known)),
        "checked": time_at(place, at),
        "may_plan": may(request.user, "task.edit", place),
        "may_run": may(request.user, "rota.edit", place),
        "may_print": may(request.user, "paper.issue", place),
        "may_write_alarm": may(request.user, "alarm.write", place),
        "shifts": place.shifts.order_by("begins"),
        "may_rank": may(request.user, "first-call.give", place),
        "redo": sums_to_redo(place, asked.day, policy_of(policy)),
        "redo_rescue": rescues_to_redo(place, asked.day),
        "redo_restraint": restraints_to_redo(place, asked.day, policy_of(policy)),
        "policy": policy,
        "may_change_policy": may(request.user, "policy.change"),
        **to_be_told(request, [place]),
        **asked_words(asked, place),
    }
    return render(request, "readiness/site_cover.html", shown)


@needs("cover.see")
def task_why(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """Every kit and every person, with all that speaks against each for this task at that hour."""
    rows = Task.objects.select_related("site", "zone")
    chosen = fetch(rows, request.user, "cover.see", site__code=site, code=task)
    asked = asked_of(request, chosen.site, now())
    (known,) = timelines([chosen.site], asked.day, asked.day)
    why = why_board(Moments(known).situation(asked.moment), chosen.code)
    shown = {
        "task": chosen,
        "why": why,
        "redo": sums_to_redo(chosen.site, asked.day, known.policy).get(chosen.code, ""),
        "may_rate": may(request.user, "kit.rate", chosen.site_id),
        "may_roster": may(request.user, "rota.edit", chosen.site_id),
        **asked_words(asked, chosen.site),
    }
    return render(request, "readiness/task_why.html", shown)
