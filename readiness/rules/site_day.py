"""One site on one day: who is there, what is active, how far it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from readiness.rules.kit_condition import not_usable
from readiness.rules.needs import needs_cover
from readiness.rules.reasons import Reason
from readiness.rules.situation import Kit, Person, Situation, Task

FAR = float("inf")

_NONE = frozenset[str]()


@dataclass(frozen=True, slots=True)
class Presence:
    """A person as they stand today: families ever held, families in date, first aid in date."""

    person: Person
    on_site: bool
    ever: frozenset[str]
    current: frozenset[str]
    first_aid: bool


@dataclass(frozen=True, slots=True)
class SiteDay:
    situation: Situation
    day: date
    tasks: tuple[Task, ...]
    """Those that run today and need cover, or may need it for all that is known."""
    presences: tuple[Presence, ...]
    exposed_on: Mapping[str, frozenset[str]]
    """Person id to the ids of today's tasks on which they may be the one hanging."""
    unusable: Mapping[str, tuple[Reason, ...]]
    """Kit id to why it may not be used today, whatever the task; of the kits at this site."""
    in_date: Mapping[str, tuple[Presence, ...]]
    """Kit family to those on site who are in date for it, in the order of the presences."""

    def minutes(self, origin: str, goal: str) -> float:
        """Both ways unless both are given; a pair not given is never in reach."""
        if origin == goal:
            return 0
        travel = self.situation.travel_minutes
        there = travel.get((origin, goal))
        return travel.get((goal, origin), FAR) if there is None else there

    def why_unusable(self, kit: Kit) -> tuple[Reason, ...]:
        """Why the kit may not be used today; it may be one of another site that could be brought."""
        known = self.unusable.get(kit.id)
        return not_usable(kit, self.day) if known is None else known

    def exposed_elsewhere(self, person_id: str, task: Task) -> frozenset[str]:
        return self.exposed_on.get(person_id, frozenset()) - {task.id}


def presence(person: Person, day: date) -> Presence:
    on_site = any(start <= day <= end for start, end in person.on_site)
    if not person.competences:
        return Presence(person, on_site, _NONE, _NONE, first_aid=False)
    begun = [held for held in person.competences if held.valid_from <= day]
    rescuer = [held for held in begun if held.kind == "rescuer"]
    return Presence(
        person=person,
        on_site=on_site,
        ever=frozenset(held.family for held in rescuer),
        current=frozenset(held.family for held in rescuer if day <= held.valid_to),
        first_aid=any(held.kind == "first aid" and day <= held.valid_to for held in begun),
    )


def site_day(situation: Situation, day: date) -> SiteDay:
    tasks = tuple(
        task
        for task in situation.tasks
        if task.active_on(day) and needs_cover(task, situation.policy)
    )
    exposed: dict[str, set[str]] = {}
    for task in tasks:
        for person_id in task.exposed:
            exposed.setdefault(person_id, set()).add(task.id)
    presences = tuple(presence(person, day) for person in situation.people)
    return SiteDay(
        situation=situation,
        day=day,
        tasks=tasks,
        presences=presences,
        exposed_on={person_id: frozenset(ids) for person_id, ids in exposed.items()},
        unusable={kit.id: not_usable(kit, day) for kit in situation.kits},
        in_date=_in_date(presences),
    )


def _in_date(presences: tuple[Presence, ...]) -> dict[str, tuple[Presence, ...]]:
    here_now = [here for here in presences if here.on_site]
    families = {family for here in here_now for family in here.current}
    return {
        family: tuple(here for here in here_now if family in here.current) for family in families
    }
