"""Why the people on site cannot serve a task with a kit of one family."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from readiness.rules.needs import exceeds
from readiness.rules.reasons import Reason
from readiness.rules.site_day import Presence, SiteDay
from readiness.rules.situation import Plan, Task

NEAREST_MISS = (
    "rescuer-lapsed",
    "rescuer-for-other-kit",
    "rescuer-out-of-reach",
    "rescuer-is-exposed",
    "no-rescuer",
)


@dataclass(frozen=True, slots=True)
class Crew:
    """Who is able with one family: not exposed, and exposed on this very task."""

    free: tuple[Presence, ...]
    exposed: tuple[Presence, ...]


def person_reason(here: Presence, task: Task, family: str, site: SiteDay) -> Reason | None:
    """The first that holds; one exposed on this task alone is able, and counted apart."""
    person = here.person
    if not here.on_site or not here.ever:
        return Reason("no-rescuer", {"person": person.name, "on_site": here.on_site})
    if family not in here.current:
        return _not_in_date(here, family, site)
    minutes, target = site.minutes(person.zone, task.zone), _target(task)
    alarm = site.situation.policy.alarm_minutes
    if exceeds(minutes + alarm, target):
        facts = {
            "person": person.name,
            "minutes": minutes,
            "alarm_minutes": alarm,
            "target_minutes": target,
        }
        return Reason("rescuer-out-of-reach", facts)
    elsewhere = site.exposed_elsewhere(person.id, task)
    if elsewhere:
        return Reason(
            "rescuer-is-exposed", {"person": person.name, "tasks": tuple(sorted(elsewhere))}
        )
    return None


def _not_in_date(here: Presence, family: str, site: SiteDay) -> Reason:
    person = here.person
    if family not in here.ever:
        facts = {"person": person.name, "family": family, "trained_on": tuple(sorted(here.ever))}
        return Reason("rescuer-for-other-kit", facts)
    valid_to = max(
        held.valid_to
        for held in person.competences
        if held.kind == "rescuer" and held.family == family and held.valid_from <= site.day
    )
    return Reason("rescuer-lapsed", {"person": person.name, "family": family, "valid_to": valid_to})


def _target(task: Task) -> float:
    return 0 if task.plan is None else task.plan.target_minutes


def called_upon(task: Task, site: SiteDay) -> tuple[Presence, ...]:
    """A signed permit leaves no choice of people."""
    if task.pinned is None:
        return site.presences
    return tuple(here for here in site.presences if here.person.id in task.pinned.people)


def crew(task: Task, family: str, site: SiteDay) -> Crew:
    """Only those in date for the family are looked at: nobody else is able."""
    free: list[Presence] = []
    exposed: list[Presence] = []
    for here in site.in_date.get(family, ()):
        called = task.pinned is None or here.person.id in task.pinned.people
        if not called or person_reason(here, task, family, site) is not None:
            continue
        (exposed if here.person.id in task.exposed else free).append(here)
    return Crew(tuple(free), tuple(exposed))


def _misses(task: Task, family: str, site: SiteDay) -> list[Reason]:
    """What speaks against each who is called upon."""
    found = (person_reason(here, task, family, site) for here in called_upon(task, site))
    return [reason for reason in found if reason is not None]


def enough(free: int, exposed: int, plan: Plan) -> bool:
    """The number needed among those not exposed; or, in mutual rescue, one more among all."""
    if free >= plan.min_rescuers:
        return True
    return plan.mutual_rescue and free + exposed >= plan.min_rescuers + 1


def _none_missing(task: Task, plan: Plan, able: Crew) -> bool:
    """Of those whom a signed permit names, every one must be able."""
    if task.pinned is None:
        return True
    count = len(able.free) + (len(able.exposed) if plan.mutual_rescue else 0)
    return count == len(task.pinned.people)


def people_reason(task: Task, plan: Plan, family: str, able: Crew, site: SiteDay) -> Reason | None:
    """The one people reason of a kit of that family, or none."""
    needed = plan.min_rescuers
    if task.pinned is not None:
        needed = max(needed, len(task.pinned.people))
    if enough(len(able.free), len(able.exposed), plan) and _none_missing(task, plan, able):
        return None
    facts: dict[str, object] = {"family": family, "needed": needed}
    if able.free:
        return Reason("too-few-rescuers", {**facts, "people": _names(able.free)})
    if able.exposed:
        exposed = {"people": _names(able.exposed), "tasks": (task.id,)}
        return Reason("rescuer-is-exposed", {**facts, **exposed})
    return nearest_miss(_misses(task, family, site), facts)


def nearest_miss(reasons: list[Reason], facts: dict[str, object]) -> Reason:
    for code in NEAREST_MISS[:-1]:
        same = [reason.facts for reason in reasons if reason.code == code]
        if same:
            return Reason(code, {**facts, "misses": tuple(same)})
    return Reason("no-rescuer", facts)


def _names(people: Iterable[Presence]) -> tuple[str, ...]:
    return tuple(here.person.name for here in people)
