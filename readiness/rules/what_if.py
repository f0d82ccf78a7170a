"""The what-if file: sites as they are or might be, and the answers in the same words."""

from __future__ import annotations

from collections.abc import Mapping

from readiness.rules.cover import Answer
from readiness.rules.json_places import MalformedFile, Place, read_json
from readiness.rules.situation import (
    ALWAYS,
    NEVER,
    Anchor,
    Clock,
    Competence,
    Interval,
    Kit,
    Person,
    Policy,
    Situation,
)
from readiness.rules.what_if_fields import (
    Fields,
    amount,
    day,
    each,
    fields,
    flag,
    interval,
    items,
    one_of,
    or_none,
    text,
    whole_from,
)
from readiness.rules.what_if_tasks import read_task

__all__ = ["MalformedFile", "as_json", "read_what_if"]


def read_what_if(content: str) -> list[tuple[str, Situation]]:
    """Scenario ids with their situations; raises MalformedFile with line, key and expectation."""
    file = fields(read_json(content), ("policy", "scenarios"))
    policy = file.optional("policy", _policy, Policy())
    scenarios = file.required("scenarios", each("id", lambda place: _scenario(place, policy)))
    return list(scenarios)


def _policy(place: Place) -> Policy:
    usual = Policy()
    months = whole_from(0, 1200)
    known = fields(place, tuple(Policy.__dataclass_fields__))
    return Policy(
        plan_review_months=known.optional("plan_review_months", months, usual.plan_review_months),
        drill_months=known.optional("drill_months", months, usual.drill_months),
        share_within_minutes=_usual(known, "share_within_minutes", usual.share_within_minutes),
        alarm_minutes=_usual(known, "alarm_minutes", usual.alarm_minutes),
        first_aid_within_minutes=_usual(
            known, "first_aid_within_minutes", usual.first_aid_within_minutes
        ),
        restraint_allowance_m=_usual(known, "restraint_allowance_m", usual.restraint_allowance_m),
        rescuer_kg=_usual(known, "rescuer_kg", usual.rescuer_kg),
        swing_look_deg=_usual(known, "swing_look_deg", usual.swing_look_deg),
        swing_most_deg=_usual(known, "swing_most_deg", usual.swing_most_deg),
    )


def _usual(known: Fields, key: str, default: float) -> float:
    return known.optional(key, amount, default)


_SCENARIO_KEYS = (
    "id",
    "on",
    "horizon_days",
    "travel_minutes",
    "kits",
    "people",
    "anchors",
    "tasks",
)


def _scenario(place: Place, policy: Policy) -> tuple[str, Situation]:
    known = fields(place, _SCENARIO_KEYS)
    situation = Situation(
        on=known.required("on", day),
        kits=known.optional("kits", each("id", _kit), ()),
        people=known.optional("people", each("name", _person), ()),
        anchors=known.optional("anchors", each("id", _anchor), ()),
        tasks=known.required("tasks", each("id", read_task)),
        travel_minutes=known.optional("travel_minutes", _travel, {}),
        policy=policy,
        horizon_days=known.optional("horizon_days", whole_from(0, 3660), 30),
    )
    return known.required("id", text), situation


def _travel(place: Place) -> dict[tuple[str, str], float]:
    if not isinstance(place.value, dict):
        place.refuse("an object of minutes by pair of zones")
    return {_zones(key, inner): amount(inner) for key, inner in place.value.items()}


def _zones(key: str, place: Place) -> tuple[str, str]:
    start, arrow, end = key.partition(">")
    if not (start and arrow and end) or ">" in end:
        raise MalformedFile(place.line, place.path, 'a key such as "A>B"')
    return (start, end)


_KIT_KEYS = (
    "id",
    "zone",
    "family",
    "functions",
    "max_load_kg",
    "min_load_kg",
    "max_height_m",
    "descent_energy_j",
    "condition",
    "seal_intact",
    "missing",
    "locked",
    "clocks",
)


def _kit(place: Place) -> Kit:
    known = fields(place, _KIT_KEYS)
    functions = items(one_of("lower", "raise", "remote attach"))
    return Kit(
        id=known.required("id", text),
        zone=known.required("zone", text),
        family=known.required("family", text),
        functions=frozenset(known.required("functions", functions)),
        max_load_kg=known.required("max_load_kg", amount),
        max_height_m=known.required("max_height_m", amount),
        min_load_kg=known.optional("min_load_kg", amount, 0.0),
        descent_energy_j=known.optional("descent_energy_j", or_none(amount), None),
        condition=known.optional("condition", text, "in service"),
        seal_intact=known.optional("seal_intact", flag, True),
        missing=known.optional("missing", items(text), ()),
        locked=known.optional("locked", flag, False),
        clocks=known.required("clocks", items(_clock)),
    )


def _clock(place: Place) -> Clock:
    known = fields(place, ("part", "clock", "due"))
    return Clock(
        part=known.required("part", text),
        clock=known.required("clock", text),
        due=known.required("due", day),
    )


def _person(place: Place) -> Person:
    known = fields(place, ("name", "zone", "competences", "on_site"))
    name = known.required("name", text)
    return Person(
        id=name,
        name=name,
        zone=known.required("zone", text),
        competences=known.required("competences", items(_competence)),
        on_site=known.optional("on_site", _on_site, ALWAYS),
    )


def _on_site(place: Place) -> tuple[Interval, ...]:
    if isinstance(place.value, list):
        return items(interval)(place)
    if not isinstance(place.value, bool):
        place.refuse("true, false or a list of pairs [from, to]")
    return ALWAYS if place.value else NEVER


def _competence(place: Place) -> Competence:
    known = fields(place, ("kind", "family", "valid_to"))
    kind = known.required("kind", one_of("rescuer", "first aid"))
    family = known.optional("family", text, "")
    if kind == "rescuer":
        family = known.required("family", text)
    return Competence(kind=kind, family=family, valid_to=known.required("valid_to", day))


def _anchor(place: Place) -> Anchor:
    known = fields(place, ("id", "zone", "due", "condition"))
    return Anchor(
        id=known.required("id", text),
        zone=known.required("zone", text),
        due=known.required("due", day),
        condition=known.optional("condition", text, "in service"),
    )


def as_json(answers: Mapping[str, Answer]) -> dict[str, dict[str, object]]:
    """Answers in the words of the file; keys only where they apply."""
    return {task_id: _answer(answer) for task_id, answer in answers.items()}


def _answer(answer: Answer) -> dict[str, object]:
    found: dict[str, object] = {"state": answer.state}
    if answer.covered:
        found["hangs_on"] = [thing.id for thing in answer.hangs_on]
    if answer.lapses_on is not None:
        found["lapses_on"] = answer.lapses_on.isoformat()
        found["lapse_reasons"] = [reason.code for reason in answer.lapse_reasons]
    if answer.reasons:
        found["reasons"] = [reason.code for reason in answer.reasons]
    if answer.missing:
        found["missing"] = list(answer.missing)
    return found
