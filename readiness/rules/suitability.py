"""What stands between a task, taken alone, and its cover."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from readiness.rules.kit_reasons import kit_reasons
from readiness.rules.needs import exceeds, missing_facts
from readiness.rules.people_reasons import Crew, called_upon, crew, people_reason, person_reason
from readiness.rules.reasons import HARD, Reason, in_order
from readiness.rules.site_day import SiteDay, site_day
from readiness.rules.situation import Kit, Person, Plan, Situation, Task
from readiness.rules.task_reasons import task_reasons


@dataclass(frozen=True, slots=True)
class KitJudgement:
    """A kit with all that speaks against it for one task: its own, people's and time reasons."""

    kit: Kit
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class PersonJudgement:
    """A person and a kit family, with the first thing that speaks against them, if any."""

    person: Person
    family: str
    reason: Reason | None


@dataclass(frozen=True, slots=True)
class WhyNot:
    """Everything that was judged for one task; empty lists where too little is known to judge."""

    task: tuple[Reason, ...]
    missing: tuple[str, ...]
    kits: tuple[KitJudgement, ...]
    people: tuple[PersonJudgement, ...]


def own_reasons(task: Task, site: SiteDay) -> tuple[Reason, ...]:
    """The task's reasons and those of the kit that comes nearest; empty when coverable alone."""
    own = task_reasons(task, site)
    plan = task.plan
    if missing_facts(task) or plan is None:
        return in_order(reason for reason in own if reason.code in HARD)
    if not site.situation.kits:
        return in_order((*own, *_nobody_trained(site)))
    if not task_kits(task, site):
        return in_order((*own, Reason("no-kit")))
    nearest = min(kit_judgements(task, plan, site), key=_nearness)
    return in_order((*own, *nearest.reasons))


def _nearness(judged: KitJudgement) -> tuple[int, str]:
    return (len(judged.reasons), judged.kit.id)


def _nobody_trained(site: SiteDay) -> tuple[Reason, ...]:
    trained = any(here.on_site and here.ever for here in site.presences)
    return () if trained else (Reason("no-rescuer"),)


def task_kits(task: Task, site: SiteDay) -> tuple[Kit, ...]:
    """A signed permit leaves no choice of kit."""
    if task.pinned is None:
        return site.situation.kits
    return tuple(kit for kit in site.situation.kits if kit.id == task.pinned.kit)


def crews(task: Task, site: SiteDay) -> dict[str, Crew]:
    families = sorted({kit.family for kit in task_kits(task, site)})
    return {family: crew(task, family, site) for family in families}


def kit_judgements(task: Task, plan: Plan, site: SiteDay) -> tuple[KitJudgement, ...]:
    able = crews(task, site)
    people = {one: people_reason(task, plan, one, able[one], site) for one in able}
    found = []
    for kit in task_kits(task, site):
        against, lacking = kit_reasons(kit, task, plan, site), people[kit.family]
        if lacking is not None:
            against = in_order((*against, lacking))
        found.append(
            KitJudgement(kit, against or _too_slow(kit, task, plan, site, able[kit.family]))
        )
    return tuple(found)


def drill_minutes(plan: Plan) -> float:
    """A plan without a drill counts none: it has `drill-due` anyway."""
    return 0 if plan.drill is None else plan.drill.minutes


def _too_slow(kit: Kit, task: Task, plan: Plan, site: SiteDay, able: Crew) -> tuple[Reason, ...]:
    """Told only where kit and people are otherwise fine and the drill itself was not too slow."""
    drill = drill_minutes(plan)
    if exceeds(drill, plan.target_minutes):
        return ()
    alarm = site.situation.policy.alarm_minutes
    kit_minutes = site.minutes(kit.zone, task.zone)
    way = max(kit_minutes, team_minutes(task, plan, site, able))
    if not exceeds(alarm + way + drill, plan.target_minutes):
        return ()
    facts = {
        "kit": kit.id,
        "alarm_minutes": alarm,
        "kit_minutes": kit_minutes,
        "way_minutes": way,
        "drill_minutes": drill,
        "minutes": alarm + way + drill,
        "target_minutes": plan.target_minutes,
    }
    return (Reason("rescue-too-slow", facts),)


def team_minutes(task: Task, plan: Plan, site: SiteDay, able: Crew) -> float:
    """The longest way of the quickest team that is large enough."""
    free = sorted(site.minutes(here.person.zone, task.zone) for here in able.free)
    exposed = [site.minutes(here.person.zone, task.zone) for here in able.exposed]
    if task.pinned is not None:
        return max(free + exposed)
    ways = []
    if len(free) >= plan.min_rescuers:
        ways.append(free[plan.min_rescuers - 1] if plan.min_rescuers else 0)
    together = sorted(free + exposed)
    if plan.mutual_rescue and len(together) > plan.min_rescuers:
        ways.append(together[plan.min_rescuers])
    return min(ways)


def why_not(task: Task, situation: Situation, on: date) -> WhyNot:
    """Every kit and every person with what speaks against each, on one day."""
    site = site_day(situation, on)
    own, missing, plan = task_reasons(task, site), missing_facts(task), task.plan
    if missing or plan is None:
        return WhyNot(tuple(reason for reason in own if reason.code in HARD), missing, (), ())
    return WhyNot(own, (), kit_judgements(task, plan, site), person_judgements(task, plan, site))


def person_judgements(task: Task, plan: Plan, site: SiteDay) -> tuple[PersonJudgement, ...]:
    families = sorted({kit.family for kit in task_kits(task, site)})
    return tuple(
        PersonJudgement(
            here.person,
            family,
            person_reason(here, task, family, site) or _hanging(here.person, task, plan),
        )
        for here in called_upon(task, site)
        for family in families
    )


def _hanging(person: Person, task: Task, plan: Plan) -> Reason | None:
    """Able, but exposed on this very task, and the plan knows no mutual rescue."""
    if person.id not in task.exposed or plan.mutual_rescue:
        return None
    return Reason("rescuer-is-exposed", {"person": person.name, "tasks": (task.id,)})
