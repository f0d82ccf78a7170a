"""Rescue cover of large sites once more, put to a constraint solver; the rules of `cover_oracle`."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from datetime import date
from typing import Any

from ortools.sat.python import cp_model

from readiness.rules.situation import Situation, Task
from tests.readiness import cover_oracle as oracle


def covered(site: Situation, day: date) -> set[str]:
    """The tasks that every best assignment covers."""
    tasks = [task for task in oracle.active(site, day) if oracle.sound(task, site, day)]
    model, covers = _model(tasks, site, day)
    ranks = sorted({oracle.call(task) for task in tasks} - {oracle.LAST})
    for rank in (*ranks, None):
        counted = [covers[one.id] for one in tasks if rank is None or oracle.call(one) == rank]
        model.maximize(sum(counted))
        model.add(sum(counted) >= round(_solved(model).objective_value))
    found = _solved(model)
    common = {task for task, cover in covers.items() if found.value(cover)}
    while common:
        model.minimize(sum(covers[task] for task in sorted(common)))
        found = _solved(model)
        fewer = {task for task in common if found.value(covers[task])}
        if fewer == common:
            break
        common = fewer
    return common


def _solved(model: Any) -> Any:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = 2
    assert solver.solve(model) == cp_model.OPTIMAL
    return solver


def _model(tasks: list[Task], site: Situation, day: date) -> tuple[Any, dict[str, Any]]:
    """Each kit and person stands by for one circle of tasks that may all share."""
    model = cp_model.CpModel()
    circles = _circles(tasks, site)
    stands: dict[tuple[str, str], dict[int, Any]] = defaultdict(dict)

    def by(kind: str, one: str, task: Task) -> Any:
        """1 where this thing stands by for the task."""
        here = stands[kind, one]
        for place, circle in enumerate(circles):
            if task.id in circle:
                here.setdefault(place, model.new_bool_var(""))
        return sum(here[place] for place, circle in enumerate(circles) if task.id in circle)

    covers = {}
    for task in tasks:
        ways = []
        for family in sorted({kit.family for kit in site.kits}):
            ways += _ways(model, task, family, site, day, by)
        covers[task.id] = model.new_bool_var(task.id)
        model.add(sum(ways) >= covers[task.id])
    for places in stands.values():
        model.add_at_most_one(places.values())
    return model, covers


def _ways(model: Any, task: Task, family: str, site: Situation, day: date, by: Any) -> list[Any]:
    plan = task.plan
    assert plan is not None
    kits = [
        by("kit", kit.id, task)
        for kit in site.kits
        if kit.family == family
        and oracle.kit_fits(kit, task, site, day)
        and oracle.in_time(kit.zone, task, site)
    ]
    fit = [one.id for one in site.people if oracle.able(one, family, task, site, day)]
    free = [by("person", one, task) for one in fit if one not in task.exposed]
    everyone = [by("person", one, task) for one in fit]
    teams = [(free, plan.min_rescuers)]
    if plan.mutual_rescue:
        teams.append((everyone, plan.min_rescuers + 1))
    ways = []
    for team, many in teams:
        way = model.new_bool_var("")
        model.add(sum(kits) >= way)
        model.add(sum(team) >= many * way)
        ways.append(way)
    return ways


def _circles(tasks: list[Task], site: Situation) -> list[frozenset[str]]:
    """All largest sets of tasks that may share pairwise."""
    near = {
        one.id: {
            two.id
            for two in tasks
            if two.id != one.id
            and oracle.shareable(one, two, site)
            and oracle.shareable(two, one, site)
        }
        for one in tasks
    }
    found: list[frozenset[str]] = []
    _extend(set(), set(near), set(), near, found)
    return found


def _extend(
    circle: set[str],
    more: set[str],
    done: set[str],
    near: Mapping[str, set[str]],
    found: list[frozenset[str]],
) -> None:
    if not more and not done:
        found.append(frozenset(circle))
    pivot = max(sorted(more | done), key=lambda one: len(near[one] & more), default=None)
    for task in sorted(more - (near[pivot] if pivot else set())):
        _extend(circle | {task}, more & near[task], done & near[task], near, found)
        more, done = more - {task}, done | {task}
