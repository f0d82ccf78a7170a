"""What sums that something has overtaken would give, done again with the same figures and what is known now.

A forecast for who has to do them, never the sums themselves: where an anchor was moved, its heights may be
others now.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.db.models import Prefetch

from readiness.facts.situations import policy_now
from readiness.facts.sums import NOT_IN_USE, clearance_of, held_to, restraint_of
from readiness.models import Task, TaskSums
from readiness.rules.changes import SumsRedone
from readiness.rules.situation import Clearance, Policy, Restraint
from readiness.rules.sums.fall import fall_clearance
from readiness.rules.sums.restraint_figures import restraint_answer
from readiness.rules.sums.values import Refused
from register.models import Site


def sums_redone(site: Site) -> dict[tuple[str, str], SumsRedone]:
    """By site and task; only where doing them again would give an answer."""
    kept = Prefetch("sums", TaskSums.objects.newest_first())
    tasks = Task.objects.filter(site=site, sums__isnull=False).distinct().select_related("zone")
    policy = policy_now()
    found = {}
    for task in tasks.prefetch_related(kept):
        again = _again(task, list(task.sums.all()), policy)
        if again is not None:
            found[site.code, task.code] = again
    return found


def _again(task: Task, rows: Sequence[TaskSums], policy: Policy) -> SumsRedone | None:
    room, reach = _room(task, rows, policy), _reach(task, rows, policy)
    if room is None and reach is None:
        return None
    return SumsRedone(task.code, room, reach)


def _room(task: Task, rows: Sequence[TaskSums], policy: Policy) -> Clearance | None:
    doubt = clearance_of(task, rows, policy)[1]
    if doubt is None or not doubt.changed or _anchor_is_out(doubt.sums):
        return None
    try:
        found = fall_clearance(_with_what_is_known(task, doubt.sums), policy)
    except Refused:
        return None
    return Clearance(found.required_m, found.available_m)


def _reach(task: Task, rows: Sequence[TaskSums], policy: Policy) -> Restraint | None:
    doubt = restraint_of(task, rows, policy)[1]
    if doubt is None or not doubt.changed or _anchor_is_out(doubt.sums):
        return None
    try:
        found = restraint_answer(_as_long_as_the_product(doubt.sums, "lanyard_m"), policy)
    except Refused:
        return None
    if found.found.proven and not found.case.closed:
        return None
    tightest = found.tightest
    return Restraint(found.found.reach_m, tightest.deflection_m, tightest.distance_m)


def _anchor_is_out(sums: TaskSums) -> bool:
    """Not in use now: no sum done again puts it back."""
    return sums.anchor is not None and sums.anchor.condition in NOT_IN_USE


def _with_what_is_known(task: Task, sums: TaskSums) -> dict[str, Any]:
    figures = _as_long_as_the_product(sums, "length_m")
    if task.heaviest_kg:
        figures["mass_kg"] = task.heaviest_kg
    if task.lightest_kg:
        figures["lightest_kg"] = task.lightest_kg
    return figures | (held_to(sums.product, figures) if sums.product else {})


def _as_long_as_the_product(sums: TaskSums, name: str) -> dict[str, Any]:
    figures: dict[str, Any] = dict(sums.figures)
    longest = sums.product and sums.product.length_m
    if longest and name in figures:
        figures[name] = max(float(longest), figures[name])
    return figures
