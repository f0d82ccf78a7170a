"""Writing a what-if file: one moment of a site, which `manage.py what_if` answers the same.

What the file cannot say is written so that the answer is the same or says less, never more: a day
that is not known has long passed, a task on which nobody is named is not assessed.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import asdict
from datetime import date

from readiness.rules.situation import (
    ALWAYS,
    NEVER,
    Anchor,
    Competence,
    Kit,
    Person,
    Plan,
    Restraint,
    Situation,
    Task,
)

FIRST_DAY, LAST_DAY = date(1900, 1, 1), date(2999, 12, 31)
"""The first and the last day that a file can hold."""
UNKNOWN_ZONE = "not known"
NOBODY = "nobody named"


def what_if_file(scenarios: Iterable[tuple[str, Situation]]) -> str:
    """The text of a file; all its scenarios go by the limits of the first."""
    listed = list(scenarios)
    policy = asdict(listed[0][1].policy) if listed else {}
    made = {"policy": policy, "scenarios": [_scenario(*one) for one in listed]}
    return json.dumps(made, ensure_ascii=False, indent=1)


def _scenario(name: str, site: Situation) -> dict[str, object]:
    called = _names(site.people)
    return {
        "id": name,
        "on": _day(site.on),
        "horizon_days": site.horizon_days,
        "travel_minutes": {
            f"{start}>{end}": minutes for (start, end), minutes in site.travel_minutes.items()
        },
        "kits": [_kit(one) for one in site.kits],
        "people": [_person(one, called[one.id], site.on) for one in site.people],
        "anchors": [_anchor(one) for one in site.anchors],
        "tasks": [_task(one, called.get) for one in site.tasks],
    }


def _names(people: Iterable[Person]) -> dict[str, str]:
    """The file tells people apart by name; where two share one, the id stands behind it."""
    listed = list(people)
    names = [one.name or one.id for one in listed]
    return {
        one.id: f"{name} ({one.id})" if names.count(name) > 1 else name
        for one, name in zip(listed, names, strict=True)
    }


def _day(day: date | None) -> str:
    return FIRST_DAY.isoformat() if day is None else min(max(day, FIRST_DAY), LAST_DAY).isoformat()


def _zone(zone: str) -> str:
    return zone or UNKNOWN_ZONE


def _kit(kit: Kit) -> dict[str, object]:
    return {
        "id": kit.id,
        "zone": _zone(kit.zone),
        "family": kit.family or "not rated",
        "functions": sorted(kit.functions),
        "max_load_kg": kit.max_load_kg,
        "min_load_kg": kit.min_load_kg,
        "max_height_m": kit.max_height_m,
        "descent_energy_j": kit.descent_energy_j,
        "condition": kit.condition,
        "seal_intact": kit.seal_intact,
        "missing": list(kit.missing),
        "locked": kit.locked,
        "clocks": [
            {"part": one.part, "clock": one.clock, "due": _day(one.due)} for one in kit.clocks
        ],
    }


def _person(person: Person, name: str, on: date) -> dict[str, object]:
    """Tickets that begin later are left out: the file knows no first day of one."""
    there: object = [[_day(begin), _day(end)] for begin, end in person.on_site]
    if person.on_site in {ALWAYS, NEVER}:
        there = person.on_site == ALWAYS
    held = [one for one in person.competences if one.valid_from <= on]
    return {
        "name": name,
        "zone": _zone(person.zone),
        "on_site": there,
        "competences": [_competence(one) for one in held],
    }


def _competence(held: Competence) -> dict[str, object]:
    said: dict[str, object] = {"kind": held.kind, "valid_to": _day(held.valid_to)}
    return {**said, "family": held.family} if held.kind == "rescuer" else said


def _anchor(anchor: Anchor) -> dict[str, object]:
    return {
        "id": anchor.id,
        "zone": _zone(anchor.zone),
        "due": _day(anchor.due),
        "condition": anchor.condition,
    }


def _task(task: Task, called: Callable[[str, str], str | None]) -> dict[str, object]:
    named = [called(one, one) for one in task.exposed]
    return {
        "id": task.id,
        "zone": _zone(task.zone),
        "from": _day(task.starts_on),
        "to": _day(task.ends_on),
        "system": task.system,
        "exposed": named or [NOBODY],
        "heaviest_kg": task.heaviest_kg if named else None,
        "lightest_kg": task.lightest_kg,
        "recovery": task.recovery,
        "remote_attach": task.remote_attach,
        "lower_m": task.lower_m,
        "raise_m": task.raise_m,
        "stranded": task.stranded,
        "clearance": _clearance(task),
        "restraint": _restraint(task.restraint),
        "rescue_anchors": list(task.rescue_anchors),
        "first_call": task.first_call,
        "plan": _plan(task.plan),
    }


def _clearance(task: Task) -> dict[str, object] | None:
    if task.clearance.required_m is None:
        return None
    return asdict(task.clearance)


def _restraint(restraint: Restraint | None) -> dict[str, object] | None:
    """With a measure missing it proves nothing; so it does when it is not there."""
    if restraint is None or restraint.reach_m is None or restraint.deflection_m is None:
        return None
    return asdict(restraint)


def _plan(plan: Plan | None) -> dict[str, object] | None:
    if plan is None:
        return None
    drill = plan.drill
    return {
        **asdict(plan),
        "reviewed": _day(plan.reviewed),
        "drill": None if drill is None else {"date": _day(drill.on), "minutes": drill.minutes},
    }
