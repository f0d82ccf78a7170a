"""Rescue plans: each change is a new version; and the drills that prove them."""

from __future__ import annotations

from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from readiness.actions.checking import refuse_future, refuse_unless_valid
from readiness.actions.drills import take_out_after_drill
from readiness.models import Drill, Plan, Task
from register.models import Kit, Stamp, record
from register.refusal import Refusal

SAID = (
    *("version", "method", "steps", "matches_task", "relies_on_emergency_services"),
    *("min_rescuers", "target_minutes", "mutual_rescue", "accompanied", "stop_work"),
)
WORDS = ("method", "steps")


@transaction.atomic
def write_plan(plan: Plan, *, stamp: Stamp) -> Plan:
    """Keep a new version of the task's plan; it stands from now on."""
    task = _locked(plan.task)
    if not plan.method.strip():
        raise Refusal("no-method", _("Say how the casualty is brought to safety."))
    refuse_future(plan.reviewed_on, what=_("The review"), site=task.site, stamp=stamp)
    return _as_next_version("write-plan", plan, task, stamp)


@transaction.atomic
def review_plan(plan: Plan, *, reviewed_on: date, stamp: Stamp) -> Plan:
    """Say that the plan was looked at again and still holds: the same words, a new version."""
    task = _locked(plan.task)
    refuse_future(reviewed_on, what=_("The review"), site=task.site, stamp=stamp)
    _refuse_old(plan, task, _("reviewed"))
    if reviewed_on < plan.reviewed_on:
        raise Refusal(
            "older-review", _("%(plan)s was reviewed later than that already.") % {"plan": plan}
        )
    again = Plan(task=task, **{name: getattr(plan, name) for name in SAID})
    again.reviewed_on = reviewed_on
    return _as_next_version("review-plan", again, task, stamp)


@transaction.atomic
def doubt_plan(task: Task, *, stamp: Stamp) -> Plan | None:
    """The task is done another way now: the newest plan no longer fits until it is written anew."""
    task = _locked(task)
    newest = task.plans.first()
    if newest is None or not newest.matches_task:
        return None
    again = Plan(task=task, **{name: getattr(newest, name) for name in SAID})
    again.matches_task, again.reviewed_on = False, newest.reviewed_on
    return _as_next_version("doubt-plan", again, task, stamp)


def _locked(task: Task) -> Task:
    return Task.objects.select_for_update().select_related("site").get(pk=task.pk)


def _as_next_version(verb: str, plan: Plan, task: Task, stamp: Stamp) -> Plan:
    newest = task.plans.first()
    if plan.pk is not None:
        raise Refusal(
            "kept-already",
            _("%(plan)s is kept already: a change is a new version.") % {"plan": plan},
        )
    plan.version, plan.author = newest.version + 1 if newest else 1, stamp.by
    refuse_unless_valid(plan)
    plan.save()
    facts = {name: getattr(plan, name) for name in SAID if name not in WORDS}
    facts["reviewed_on"] = plan.reviewed_on.isoformat()
    record(
        verb,
        {task: facts},
        stamp=stamp,
        notes={name: getattr(plan, name) for name in WORDS},
        sites=[task.site],
    )
    return plan


def _refuse_old(plan: Plan, task: Task, what: str) -> None:
    newest = task.plans.first()
    if newest is None or newest.pk != plan.pk:
        raise Refusal(
            "old-plan",
            _("%(plan)s is an old version and cannot be %(what)s. Take the newest one.")
            % {"plan": plan, "what": what},
        )


@transaction.atomic
def record_drill(
    plan: Plan,
    *,
    drilled_on: date,
    minutes: float,
    kit: Kit | None = None,
    note: str = "",
    stamp: Stamp,
) -> Drill:
    """Keep a practised rescue: minutes from the kit at the place to the casualty at safety.

    The kit that was used is out until it is checked and sealed again; None where it was not ours.
    """
    task = _locked(plan.task)
    _refuse_old(plan, task, _("drilled"))
    refuse_future(drilled_on, what=_("The drill"), site=task.site, stamp=stamp)
    if minutes <= 0:
        raise Refusal("no-minutes", _("Say how many minutes the drill took, more than none."))
    drill = Drill(plan=plan, drilled_on=drilled_on, minutes=minutes, kit=kit, note=note)
    refuse_unless_valid(drill)
    drill.save()
    if kit:
        take_out_after_drill(kit, drilled_on=drilled_on, stamp=stamp)
    facts = {"version": plan.version, "minutes": str(minutes), "kit": kit.name if kit else None}
    facts["drilled_on"] = drilled_on.isoformat()
    record("record-drill", {task: facts}, stamp=stamp, notes={"note": note}, sites=[task.site])
    return drill
