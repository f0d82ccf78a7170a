"""What the register knows of a rescue at one task: its masses and heights, its plan, each kit there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from readiness.facts.kit_parts import BEARS_LOAD, parts_of
from readiness.facts.rows import SiteRows, read
from readiness.facts.situations import (
    anchors_of,
    kit_of,
    part_name,
    policy_of,
    task_of,
    travel_of,
)
from readiness.models import Task
from readiness.rules.kit_reasons import kit_reasons
from readiness.rules.needs import missing_facts
from readiness.rules.reasons import Reason
from readiness.rules.site_day import FAR, SiteDay, site_day
from readiness.rules.situation import Kit, Policy, Situation
from readiness.rules.situation import Task as TaskFacts
from readiness.rules.sums.redo import Parts
from readiness.rules.sums.rescue import RescueKit, RescueTask
from readiness.rules.sums.rescue_load import Component
from readiness.rules.sums.rescue_times import Timed
from register.models import Kit as KitRow


@dataclass(frozen=True, slots=True)
class RescueKnown:
    """`against` is what the rule of cover says against each kit, `missing` what keeps it from
    judging at all; `kit_ids` gives the row of each kit by name, `parts` what it is made of now."""

    task: RescueTask
    kits: tuple[RescueKit, ...]
    against: Mapping[str, tuple[Reason, ...]]
    missing: tuple[str, ...]
    has_plan: bool
    anchor: str
    kit_ids: Mapping[str, int]
    parts: Mapping[str, Parts]


def rescue_known(task: Task, day: date) -> RescueKnown:
    """Read now; `task` with its site and zone."""
    (rows,) = read([task.site], day, day)
    facts = _with_exposed(task, policy_of(rows.policy))
    kits = tuple(kit_of(kit, rows) for kit in rows.kits)
    site = _site(facts, kits, task, rows, day)
    anchors = anchors_of([task], rows)
    return RescueKnown(
        task=_task(facts, site),
        kits=tuple(
            _kit(row, kit, site.minutes(kit.zone, facts.zone))
            for row, kit in zip(rows.kits, kits, strict=True)
        ),
        against=_against(facts, kits, site),
        missing=missing_facts(facts),
        has_plan=facts.plan is not None,
        anchor=anchors[0].name if anchors else "",
        kit_ids={row.name: row.pk for row in rows.kits},
        parts={row.name: parts_of(row) for row in rows.kits},
    )


def _with_exposed(task: Task, policy: Policy) -> TaskFacts:
    named = {str(one) for one in task.exposures.values_list("person", flat=True)}
    return replace(task_of(task, policy), exposed=tuple(sorted(named)))


def _site(
    facts: TaskFacts, kits: tuple[Kit, ...], task: Task, rows: SiteRows, day: date
) -> SiteDay:
    situation = Situation(
        on=day,
        kits=kits,
        anchors=anchors_of([task], rows),
        tasks=(facts,),
        travel_minutes=travel_of(rows.passages),
        policy=policy_of(rows.policy),
    )
    return site_day(situation, day)


def _task(facts: TaskFacts, site: SiteDay) -> RescueTask:
    plan, policy = facts.plan, site.situation.policy
    drill = plan.drill if plan else None
    return RescueTask(
        recovery=facts.recovery or "",
        heaviest_kg=facts.heaviest_kg,
        lightest_kg=facts.lightest_kg,
        lower_m=facts.lower_m,
        raise_m=facts.raise_m,
        rescuer_kg=policy.rescuer_kg if plan and plan.accompanied else 0,
        times=len(facts.exposed) if facts.stranded is None else facts.stranded,
        alarm_s=60 * policy.alarm_minutes,
        target_minutes=plan.target_minutes if plan else None,
        drill=Timed(60 * drill.minutes, drill.on) if drill else None,
        remote_attach=facts.remote_attach,
    )


def _kit(row: KitRow, kit: Kit, minutes: float) -> RescueKit:
    held = [(part_name(part), part.item.product) for part in row.parts.all() if part.item]
    bearing = [(name, product) for name, product in held if product.equipment_class in BEARS_LOAD]
    ropes = [
        float(product.length_m)
        for _name, product in held
        if product.equipment_class == "rope" and product.length_m is not None
    ]
    return RescueKit(
        name=kit.name,
        functions=kit.functions,
        max_load_kg=kit.max_load_kg,
        min_load_kg=kit.min_load_kg,
        max_height_m=kit.max_height_m,
        energy_j=kit.descent_energy_j,
        components=tuple(
            Component(name, product.max_user_kg, product.min_user_kg)
            for name, product in bearing
            if product.max_user_kg
        ),
        unmarked=tuple(name for name, product in bearing if not product.max_user_kg),
        rope_m=min(ropes, default=None),
        reach_s=None if minutes == FAR else 60 * minutes,
    )


def _against(
    facts: TaskFacts, kits: tuple[Kit, ...], site: SiteDay
) -> dict[str, tuple[Reason, ...]]:
    """Only where the rule of cover would judge at all."""
    plan = facts.plan
    if plan is None or missing_facts(facts):
        return {}
    return {kit.name: kit_reasons(kit, facts, plan, site) for kit in kits}
