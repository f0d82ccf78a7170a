"""Kept sums from rows: what they rest on, whether they still stand, and the clearance they give."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from readiness.models import Task, TaskSums
from readiness.rules.situation import Clearance, Policy, Restraint
from readiness.rules.sums.fall import fall_clearance
from readiness.rules.sums.redo import Changed, redo_reasons
from readiness.rules.sums.restraint_figures import restraint_answer
from readiness.rules.sums.topics import RESTS_ON
from readiness.rules.sums.values import Refused
from register.models import Item, Product
from register.rules.conditions import DESTROYED, LEFT, NOT_LOCATED, QUARANTINED, WITHDRAWN

NOT_IN_USE = (DESTROYED, LEFT, NOT_LOCATED, QUARANTINED, WITHDRAWN)


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why sums that were kept do not count now: what has changed under them, or the refusal."""

    sums: TaskSums
    changed: tuple[Changed, ...] = ()
    refused: Refused | None = None

    def __bool__(self) -> bool:
        return bool(self.changed) or self.refused is not None


def register_facts(
    task: Task, product: Product | None, anchor: Item | None, topic: str
) -> dict[str, object]:
    """What the task and the register say now of all that sums of this topic rest on."""
    facts = {
        "heaviest_kg": task.heaviest_kg,
        "lightest_kg": task.lightest_kg,
        "task_system": task.system,
        "task_zone": task.zone.code,
        "clear_height_m": task.clearance_available_m,
        **_of_product(product),
        **_of_anchor(anchor),
    }
    return {key: facts[key] for key in RESTS_ON[topic] if key in facts}


def _of_product(product: Product | None) -> dict[str, object]:
    if product is None:
        return {}
    return {
        "product": str(product),
        "product_min_kg": product.min_user_kg,
        "product_max_kg": product.max_user_kg,
        "product_length_m": None if product.length_m is None else float(product.length_m),
        "product_edge_tested": product.edge_tested,
    }


def _of_anchor(anchor: Item | None) -> dict[str, object]:
    if anchor is None:
        return {}
    return {
        "anchor": anchor.code,
        "anchor_site": anchor.site.code,
        "anchor_zone": anchor.zone.code if anchor.zone else "",
        "anchor_place": anchor.place,
        "anchor_in_use": anchor.condition not in NOT_IN_USE,
    }


def changed_since(sums: TaskSums, task: Task) -> tuple[Changed, ...]:
    """What is different now from what the sums were made from."""
    now = register_facts(task, sums.product, sums.anchor, sums.topic)
    return redo_reasons(sums.rests_on, now)


def newest(rows: Sequence[TaskSums], topic: str) -> TaskSums | None:
    """Of a task's rows, newest version first, the one of the topic that stands."""
    return next((one for one in rows if one.topic == topic), None)


def clearance_of(
    task: Task, rows: Sequence[TaskSums], policy: Policy
) -> tuple[Clearance, Doubt | None]:
    """What cover goes by: the newest sums of a fall, else the figures typed into the task.

    Sums that do not count leave what is needed unknown, and so the task not assessed.
    """
    sums = newest(rows, TaskSums.Topic.FALL)
    if sums is None:
        return Clearance(task.clearance_required_m, task.clearance_available_m), None
    changed = changed_since(sums, task)
    try:
        found = fall_clearance(sums.figures, policy)
    except Refused as refused:
        return Clearance(), Doubt(sums, changed, refused)
    if changed:
        return Clearance(None, found.available_m), Doubt(sums, changed)
    return Clearance(found.required_m, found.available_m), None


def restraint_of(
    task: Task, rows: Sequence[TaskSums], policy: Policy
) -> tuple[Restraint | None, Doubt | None]:
    """What cover asks of a task in restraint: by the newest sums of it, else as typed into the task.

    Of sums, the edge with least to spare counts. Where they do not count, or where the rim is not
    closed and nothing drawn can be passed, the way to the edge is unknown, and nothing proven.
    """
    if task.system != Task.System.RESTRAINT:
        return None, None
    sums = newest(rows, TaskSums.Topic.RESTRAINT)
    if sums is None:
        typed = (task.restraint_reach_m, task.restraint_deflection_m, task.restraint_edge_m)
        return Restraint(*typed), None
    changed = changed_since(sums, task)
    try:
        answer = restraint_answer(sums.figures, policy)
    except Refused as refused:
        return Restraint(None, None, None), Doubt(sums, changed, refused)
    tightest = answer.tightest
    unknown = changed or (answer.found.proven and not answer.case.closed)
    edge = None if unknown else tightest.distance_m
    found = Restraint(answer.found.reach_m, tightest.deflection_m, edge)
    return found, Doubt(sums, changed) if changed else None


def written_facts(facts: Mapping[str, object]) -> list[str]:
    """As the ledger keeps them: 'name: value', in order."""
    return [f"{name}: {value}" for name, value in facts.items()]


def held_to(product: Product, figures: Mapping[str, object]) -> dict[str, object]:
    """The typed limits of a product, held to those on its record."""
    held: dict[str, object] = {}
    if not product.edge_tested:
        held["edge_rated"] = False
    low, high = figures.get("min_kg"), figures.get("max_kg")
    if product.min_user_kg is not None:
        held["min_kg"] = max(product.min_user_kg, low if isinstance(low, int | float) else 0)
    if product.max_user_kg is not None:
        most = product.max_user_kg
        held["max_kg"] = min(most, high if isinstance(high, int | float) else most)
    return held
