"""The tasks of a what-if file, with their plans."""

from __future__ import annotations

from readiness.rules.json_places import Place
from readiness.rules.situation import Clearance, Drill, Plan, Restraint, Task
from readiness.rules.what_if_fields import (
    Fields,
    amount,
    any_text,
    day,
    fields,
    flag,
    items,
    one_of,
    or_none,
    text,
    whole_from,
)

_TASK_KEYS = (
    "id",
    "zone",
    "from",
    "to",
    "system",
    "exposed",
    "heaviest_kg",
    "lightest_kg",
    "recovery",
    "remote_attach",
    "lower_m",
    "raise_m",
    "stranded",
    "clearance",
    "restraint",
    "rescue_anchors",
    "first_call",
    "plan",
)


def read_task(place: Place) -> Task:
    known = fields(place, _TASK_KEYS)
    starts_on, ends_on = known.required("from", day), known.required("to", day)
    if ends_on < starts_on:
        known.by_key["to"].refuse(f"a date not before {starts_on.isoformat()}")
    return Task(
        id=known.required("id", text),
        zone=known.required("zone", text),
        starts_on=starts_on,
        ends_on=ends_on,
        system=known.required("system", one_of("arrest", "restraint", "collective")),
        exposed=known.required("exposed", _exposed),
        heaviest_kg=_known(known, "heaviest_kg"),
        lightest_kg=_known(known, "lightest_kg"),
        recovery=known.optional("recovery", or_none(_recovery), None),
        remote_attach=known.optional("remote_attach", flag, False),
        lower_m=_known(known, "lower_m"),
        raise_m=_known(known, "raise_m"),
        stranded=known.optional("stranded", or_none(whole_from(1)), None),
        clearance=known.optional("clearance", _clearance, Clearance()),
        restraint=known.optional("restraint", or_none(_restraint), None),
        rescue_anchors=known.optional("rescue_anchors", items(text), ()),
        first_call=known.optional("first_call", or_none(whole_from(1)), None),
        plan=known.optional("plan", or_none(_plan), None),
    )


_recovery = one_of("lower", "raise", "both", "either")


def _known(known: Fields, key: str) -> float | None:
    return known.optional(key, or_none(amount), None)


def _exposed(place: Place) -> tuple[str, ...]:
    names = items(text)(place)
    if not names:
        place.refuse("at least one name")
    if len(set(names)) < len(names):
        place.refuse("each name once")
    return names


def _clearance(place: Place) -> Clearance:
    if place.value is None:
        return Clearance()
    known = fields(place, ("required_m", "available_m"))
    return Clearance(
        required_m=known.required("required_m", amount),
        available_m=_known(known, "available_m"),
    )


def _restraint(place: Place) -> Restraint:
    known = fields(place, ("reach_m", "deflection_m", "edge_m"))
    return Restraint(
        reach_m=known.required("reach_m", amount),
        deflection_m=known.optional("deflection_m", amount, 0.0),
        edge_m=_known(known, "edge_m"),
    )


_PLAN_KEYS = (
    "method",
    "matches_task",
    "relies_on_emergency_services",
    "reviewed",
    "drill",
    "min_rescuers",
    "target_minutes",
    "mutual_rescue",
    "accompanied",
    "stop_work",
)


def _plan(place: Place) -> Plan:
    known = fields(place, _PLAN_KEYS)
    return Plan(
        method=known.optional("method", any_text, ""),
        reviewed=known.required("reviewed", day),
        target_minutes=known.required("target_minutes", amount),
        drill=known.optional("drill", or_none(_drill), None),
        min_rescuers=known.optional("min_rescuers", whole_from(1, 1000), 1),
        matches_task=known.optional("matches_task", flag, True),
        relies_on_emergency_services=known.optional("relies_on_emergency_services", flag, False),
        mutual_rescue=known.optional("mutual_rescue", flag, False),
        accompanied=known.optional("accompanied", flag, False),
        stop_work=known.optional("stop_work", flag, False),
    )


def _drill(place: Place) -> Drill:
    known = fields(place, ("date", "minutes"))
    return Drill(on=known.required("date", day), minutes=known.required("minutes", amount))
