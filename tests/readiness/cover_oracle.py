"""Rescue cover once more, written plainly and slowly: every assignment is tried.

Shares no code with the rules but the vocabulary of `situation`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations

from readiness.rules.situation import Kit, Person, Situation, Task

Option = tuple[str, frozenset[str]]
"""A kit and the people tied up with it."""


def year_later(day: date) -> date:
    return day.replace(year=day.year + 1)


def way(site: Situation, start: str, end: str) -> float:
    if start == end:
        return 0
    for pair in ((start, end), (end, start)):
        if pair in site.travel_minutes:
            return site.travel_minutes[pair]
    return 10_000


def active(site: Situation, day: date) -> list[Task]:
    return [
        task
        for task in site.tasks
        if task.starts_on <= day <= task.ends_on and task.system != "collective"
    ]


def there(person: Person, day: date) -> bool:
    return any(start <= day <= end for start, end in person.on_site)


def kit_fits(kit: Kit, task: Task, site: Situation, day: date) -> bool:
    plan = task.plan
    assert plan is not None
    wanted = {
        "lower": [{"lower"}],
        "raise": [{"raise"}],
        "both": [{"lower", "raise"}],
        "either": [{"lower"}, {"raise"}],
    }[task.recovery or ""]
    ways = [need for need in wanted if need <= kit.functions]
    used = ways[0] if ways else set()
    heights = {"lower": task.lower_m or 0, "raise": task.raise_m or 0}
    extra = site.policy.rescuer_kg if plan.accompanied else 0
    mass = (task.heaviest_kg or 0) + extra
    energy = mass * 9.81 * (task.lower_m or 0) * (task.stranded or len(task.exposed))
    return (
        kit.condition == "in service"
        and kit.seal_intact
        and not kit.missing
        and not kit.locked
        and all(clock.due is not None and clock.due >= day for clock in kit.clocks)
        and bool(ways)
        and (not task.remote_attach or "remote attach" in kit.functions)
        and all(heights[name] <= kit.max_height_m for name in used)
        and mass <= kit.max_load_kg
        and (task.lightest_kg or 0) >= kit.min_load_kg
        and (task.recovery == "raise" or energy <= (kit.descent_energy_j or 1e18))
    )


def in_time(zone: str, task: Task, site: Situation) -> bool:
    plan = task.plan
    assert plan is not None
    drill = plan.drill.minutes if plan.drill else 0
    return site.policy.alarm_minutes + way(site, zone, task.zone) + drill <= plan.target_minutes


def able(person: Person, family: str, task: Task, site: Situation, day: date) -> bool:
    elsewhere = [other for other in active(site, day) if other.id != task.id]
    return (
        there(person, day)
        and any(
            held.kind == "rescuer" and held.family == family and day <= held.valid_to
            for held in person.competences
        )
        and in_time(person.zone, task, site)
        and not any(person.id in other.exposed for other in elsewhere)
    )


def teams(kit: Kit, task: Task, site: Situation, day: date) -> Iterator[frozenset[str]]:
    plan = task.plan
    assert plan is not None
    fit = [one.id for one in site.people if able(one, kit.family, task, site, day)]
    free = [one for one in fit if one not in task.exposed]
    if task.pinned is not None:
        team = frozenset(task.pinned.people)
        hanging = team & set(task.exposed)
        many = len(team) >= plan.min_rescuers + bool(hanging)
        if many and team <= set(fit) and (plan.mutual_rescue or not hanging):
            yield team
        return
    yield from map(frozenset, combinations(free, plan.min_rescuers))
    if plan.mutual_rescue:
        yield from map(frozenset, combinations(fit, plan.min_rescuers + 1))


def sound(task: Task, site: Situation, day: date) -> bool:
    """Clearance, plan, anchor, first aid and drill."""
    plan, room = task.plan, task.clearance
    if plan is None or plan.drill is None or plan.reviewed is None:
        return False
    aiders = [
        one.id
        for one in site.people
        if there(one, day)
        and way(site, one.zone, task.zone) <= site.policy.first_aid_within_minutes
        and any(held.kind == "first aid" and day <= held.valid_to for held in one.competences)
    ]
    return (
        room.required_m is not None
        and room.available_m is not None
        and room.required_m <= room.available_m
        and not plan.relies_on_emergency_services
        and plan.matches_task
        and day <= year_later(plan.reviewed)
        and day <= year_later(plan.drill.on)
        and plan.drill.minutes <= plan.target_minutes
        and any(
            anchor.id in task.rescue_anchors
            and (task.pinned is None or anchor.id == task.pinned.anchor)
            and anchor.condition == "in service"
            and anchor.due is not None
            and day <= anchor.due
            for anchor in site.anchors
        )
        and (len(aiders) > 1 or any(one not in task.exposed for one in aiders))
    )


def options(task: Task, site: Situation, day: date) -> list[Option]:
    if not sound(task, site, day):
        return []
    return [
        (kit.id, team)
        for kit in site.kits
        if task.pinned is None or kit.id == task.pinned.kit
        if kit_fits(kit, task, site, day) and in_time(kit.zone, task, site)
        for team in teams(kit, task, site, day)
    ]


def shareable(one: Task, two: Task, site: Situation) -> bool:
    assert one.plan is not None
    assert two.plan is not None
    farther = max(way(site, one.zone, two.zone), way(site, two.zone, one.zone))
    return one.plan.stop_work and two.plan.stop_work and farther <= site.policy.share_within_minutes


def wants(task: Task, site: Situation, day: date) -> set[tuple[str, str]]:
    """Kits and people that could serve it; those exposed on it, no other task may have anyhow."""
    found = options(task, site, day)
    people = {one for _, team in found for one in team - set(task.exposed)}
    return {("kit", kit) for kit, _ in found} | {("person", one) for one in people}


def rivals(task: Task, site: Situation, day: date) -> list[str]:
    """Who else is after the same kits or people; those that may share last resort only."""
    ours = wants(task, site, day)
    others = [one for one in active(site, day) if one.id != task.id]
    after = [one for one in others if wants(one, site, day) & ours]
    apart = [one for one in after if not shareable(task, one, site)]
    return sorted(one.id for one in apart or after)


def assignments(
    tasks: list[Task], site: Situation, day: date, given: dict[str, Option]
) -> Iterator[dict[str, Option]]:
    if not tasks:
        yield given
        return
    task, *rest = tasks
    yield from assignments(rest, site, day, given)
    apart = [
        given[other.id]
        for other in site.tasks
        if other.id in given and not shareable(task, other, site)
    ]
    for kit, team in options(task, site, day):
        if all(kit != used and not team & busy for used, busy in apart):
            yield from assignments(rest, site, day, {**given, task.id: (kit, team)})


LAST = (2, 0)


def call(task: Task) -> tuple[int, int]:
    """Signed permits in order of issue, then first calls by rank, then all others."""
    if task.pinned is not None:
        return (0, task.pinned.order)
    return LAST if task.first_call is None else (1, task.first_call)


def worth(given: dict[str, Option], tasks: list[Task]) -> tuple[int, ...]:
    ranks = sorted({call(task) for task in tasks} - {LAST})
    at_rank = [sum(task.id in given for task in tasks if call(task) == rank) for rank in ranks]
    return (*at_rank, len(given))


def coverable(site: Situation, day: date) -> set[str]:
    return {task.id for task in active(site, day) if options(task, site, day)}


def covered(site: Situation, day: date) -> set[str]:
    """The tasks that every best assignment covers."""
    tasks = [task for task in active(site, day) if options(task, site, day)]
    best: tuple[int, ...] = ()
    common: set[str] = set()
    for given in assignments(tasks, site, day, {}):
        value = worth(given, tasks)
        if value > best:
            best, common = value, set(given)
        elif value == best:
            common &= set(given)
    return common


def most_at_once(site: Situation, day: date) -> int:
    """The largest number coverable at once, first call ignored."""
    tasks = [task for task in active(site, day) if options(task, site, day)]
    return max(len(given) for given in assignments(tasks, site, day, {}))


def without(site: Situation, kind: str, lost: str) -> Situation:
    if kind == "kit":
        return replace(site, kits=tuple(one for one in site.kits if one.id != lost))
    if kind == "person":
        return replace(site, people=tuple(one for one in site.people if one.id != lost))
    return replace(site, anchors=tuple(one for one in site.anchors if one.id != lost))


def things(site: Situation) -> list[tuple[str, str]]:
    return [
        *(("kit", one.id) for one in site.kits),
        *(("person", one.id) for one in site.people),
        *(("anchor", one.id) for one in site.anchors),
    ]


def hangs_on(site: Situation, day: date) -> dict[str, list[tuple[str, str]]]:
    held = covered(site, day)
    exposed = {task.id: task.exposed for task in site.tasks}
    found: dict[str, list[tuple[str, str]]] = {task: [] for task in held}
    for kind, lost in things(site):
        for task in held - covered(without(site, kind, lost), day):
            if kind != "person" or lost not in exposed[task]:
                found[task].append((kind, lost))
    return found


def lapses(site: Situation) -> dict[str, date]:
    found: dict[str, date] = {}
    held = covered(site, site.on)
    for ahead in range(1, site.horizon_days + 1):
        day = site.on + timedelta(days=ahead)
        running = {task.id for task in active(site, day)} & held - set(found)
        found |= dict.fromkeys(running - covered(site, day), day)
    return found
