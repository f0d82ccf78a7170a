"""Reasons that lie with the task itself: clearance, plan, anchor, first aid, drill."""

from __future__ import annotations

from readiness.rules.months import months_after
from readiness.rules.needs import exceeds
from readiness.rules.reasons import Reason
from readiness.rules.site_day import Presence, SiteDay
from readiness.rules.situation import Anchor, Plan, Task


def task_reasons(task: Task, site: SiteDay) -> tuple[Reason, ...]:
    if task.plan is None:
        return (*_clearance(task), Reason("no-plan"), *_no_kit(site))
    return (
        *_clearance(task),
        *plan_reasons(task.plan, site),
        *_no_kit(site),
        *_anchor(task, site),
        *_first_aid(task, site),
        *drill_reasons(task.plan, site),
    )


def _clearance(task: Task) -> tuple[Reason, ...]:
    required, available = task.clearance.required_m, task.clearance.available_m
    if required is None or available is None or not exceeds(required, available):
        return ()
    return (Reason("clearance-too-small", {"required_m": required, "available_m": available}),)


def plan_reasons(plan: Plan, site: SiteDay) -> tuple[Reason, ...]:
    months = site.situation.policy.plan_review_months
    found = []
    if plan.relies_on_emergency_services:
        found.append(Reason("plan-relies-on-emergency-services", {"method": plan.method}))
    if not plan.matches_task:
        found.append(Reason("plan-for-another-method", {"method": plan.method}))
    if plan.reviewed is None or months_after(plan.reviewed, months) < site.day:
        facts = {"reviewed": plan.reviewed, "months": months}
        found.append(Reason("plan-review-overdue", facts))
    return tuple(found)


def _no_kit(site: SiteDay) -> tuple[Reason, ...]:
    return () if site.situation.kits else (Reason("no-kit"),)


def anchor_usable(anchor: Anchor, site: SiteDay) -> bool:
    in_date = anchor.due is not None and site.day <= anchor.due
    return anchor.condition == "in service" and in_date


def usable_anchors(task: Task, site: SiteDay) -> tuple[Anchor, ...]:
    return tuple(anchor for anchor in task_anchors(task, site) if anchor_usable(anchor, site))


def task_anchors(task: Task, site: SiteDay) -> tuple[Anchor, ...]:
    wanted = set(task.rescue_anchors)
    if task.pinned is not None:
        wanted &= {task.pinned.anchor}
    return tuple(anchor for anchor in site.situation.anchors if anchor.id in wanted)


def _anchor(task: Task, site: SiteDay) -> tuple[Reason, ...]:
    if usable_anchors(task, site):
        return ()
    out = tuple(
        {"id": anchor.id, "name": anchor.name, "condition": anchor.condition, "due": anchor.due}
        for anchor in task_anchors(task, site)
    )
    return (Reason("no-rescue-anchor", {"anchors": out}),)


def first_aiders(task: Task, site: SiteDay) -> tuple[Presence, ...]:
    """In date, on site and near enough; those exposed on this task among them."""
    within = site.situation.policy.first_aid_within_minutes
    return tuple(
        here
        for here in site.presences
        if here.first_aid
        and here.on_site
        and not exceeds(site.minutes(here.person.zone, task.zone), within)
    )


def first_aid_suffices(free: int, exposed: int) -> bool:
    """One who cannot be hanging, or two: whoever hangs, one remains."""
    return free >= 1 or exposed > 1


def _first_aid(task: Task, site: SiteDay) -> tuple[Reason, ...]:
    near = first_aiders(task, site)
    exposed = [here.person.name for here in near if here.person.id in task.exposed]
    if first_aid_suffices(len(near) - len(exposed), len(exposed)):
        return ()
    within = site.situation.policy.first_aid_within_minutes
    return (Reason("no-first-aider", {"within_minutes": within, "exposed": tuple(exposed)}),)


def drill_reasons(plan: Plan, site: SiteDay) -> tuple[Reason, ...]:
    months = site.situation.policy.drill_months
    drill = plan.drill
    if drill is None:
        return (Reason("drill-due", {"drill_on": None, "months": months}),)
    found = []
    if months_after(drill.on, months) < site.day:
        found.append(Reason("drill-due", {"drill_on": drill.on, "months": months}))
    if exceeds(drill.minutes, plan.target_minutes):
        facts = {"minutes": drill.minutes, "target_minutes": plan.target_minutes}
        found.append(Reason("drill-too-slow", facts))
    return tuple(found)
