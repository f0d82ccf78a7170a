"""Tasks at height: declared, changed, ended; who is exposed on them; who has first call."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from django.db import transaction
from django.db.models import Model
from django.utils.translation import gettext as _

from readiness.actions.checking import refuse_other_site, refuse_unless_valid
from readiness.actions.plans import doubt_plan
from readiness.models import Exposure, Task
from register.models import Item, Person, Shift, Site, Stamp, record
from register.refusal import Refusal
from register.wording import shown_day

SAID = (
    *("name", "system", "heaviest_kg", "lightest_kg", "recovery", "remote_attach"),
    *("lower_m", "raise_m", "stranded", "clearance_required_m", "clearance_available_m"),
    *("restraint_reach_m", "restraint_deflection_m", "restraint_edge_m"),
)
"""The particulars that an entry of the ledger keeps, beside days, zone, shifts and anchors."""

WAY = ("system", "recovery", "remote_attach", "zone_id")
"""What makes it another rescue: one that the plan was not written for."""


@transaction.atomic
def declare_task(
    task: Task,
    *,
    shifts: Sequence[Shift],
    anchors: Sequence[Item] = (),
    exposed: Sequence[Person] = (),
    instead_of: str = "",
    stamp: Stamp,
) -> Task:
    """Keep a new task. `exposed` may be hanging on every shift of it.

    `instead_of` is the recorded answer to why it is not done in a safer way.
    """
    if Task.objects.filter(site=task.site, code=task.code).exists():
        raise Refusal(
            "code-taken",
            _("%(site)s has a task %(task)s already. Take another.")
            % {"site": task.site, "task": task.code},
        )
    _refuse_wrong_parts(task, shifts, anchors)
    return _kept("declare-task", task, shifts, anchors, exposed, (instead_of, stamp))


@transaction.atomic
def change_task(
    task: Task,
    *,
    shifts: Sequence[Shift],
    anchors: Sequence[Item] = (),
    exposed: Sequence[Person] | None = None,
    instead_of: str = "",
    stamp: Stamp,
) -> Task:
    """Keep the task as it is now described. `exposed` replaces those named for all shifts.

    A plan was made for the way the task was done: done another way, it waits to be written anew.
    """
    stands = Task.objects.select_for_update().get(pk=task.pk)
    if stands.site_id != task.site_id:
        raise Refusal(
            "other-site",
            _("%(stands)s stays at %(site)s; declare a new task instead.")
            % {"stands": stands, "site": stands.site},
        )
    task.first_call = stands.first_call
    _refuse_wrong_parts(task, shifts, anchors)
    kept = _kept("change-task", task, shifts, anchors, exposed, (instead_of, stamp))
    if any(getattr(stands, name) != getattr(task, name) for name in WAY):
        doubt_plan(task, stamp=stamp.again())
    return kept


def _refuse_wrong_parts(task: Task, shifts: Sequence[Shift], anchors: Sequence[Item]) -> None:
    if not shifts:
        raise Refusal("no-shift", _("Say on which shifts %(task)s is worked.") % {"task": task})
    refuse_other_site([task.zone, *shifts, *anchors], task.site)
    wrong = [str(item) for item in anchors if not item.product.kind.is_anchor]
    if wrong:
        raise Refusal(
            "not-an-anchor",
            _("%(wrong)s: not an anchor. Choose anchors only.") % {"wrong": ", ".join(wrong)},
        )
    refuse_unless_valid(task)


def _kept(
    verb: str,
    task: Task,
    shifts: Sequence[Shift],
    anchors: Sequence[Item],
    exposed: Sequence[Person] | None,
    said: tuple[str, Stamp],
) -> Task:
    note, stamp = said
    task.save()
    task.shifts.set(shifts)
    task.rescue_anchors.set(anchors)
    if exposed is not None:
        _expose(task, None, exposed)
    facts = {
        **particulars(task),
        "shifts": sorted(shift.name for shift in shifts),
        "rescue_anchors": sorted(item.code for item in anchors),
    }
    record(verb, {task: facts}, stamp=stamp, notes={"why_this_way": note}, sites=[task.site])
    return task


def particulars(task: Task) -> dict[str, object]:
    """The task as the ledger keeps it: measures as text, unknown ones as None."""
    said = {name: getattr(task, name) for name in SAID}
    kept = {name: str(one) if isinstance(one, float) else one for name, one in said.items()}
    return {
        **kept,
        "zone": task.zone.code,
        "from_on": task.from_on.isoformat(),
        "to_on": task.to_on.isoformat(),
    }


@transaction.atomic
def end_task(task: Task, *, last_on: date, reason: str = "", stamp: Stamp) -> Task:
    """Let the task end sooner than declared; `last_on` is the last day it is worked."""
    task = Task.objects.select_for_update().get(pk=task.pk)
    if last_on >= task.to_on:
        raise Refusal(
            "ends-sooner-already",
            _("%(task)s ends on %(day)s already. To let it run longer, change it.")
            % {"task": task, "day": shown_day(task.to_on)},
        )
    if last_on < task.from_on:
        raise Refusal(
            "ends-before-it-begins",
            _("%(task)s began on %(day)s: it cannot end on %(day2)s.")
            % {"task": task, "day": shown_day(task.from_on), "day2": shown_day(last_on)},
        )
    before, task.to_on = task.to_on, last_on
    task.save(update_fields=["to_on"])
    facts = {"to_on": last_on.isoformat(), "was_to_on": before.isoformat()}
    record("end-task", {task: facts}, stamp=stamp, notes={"reason": reason}, sites=[task.site_id])
    return task


@transaction.atomic
def set_exposed(
    task: Task, *, people: Sequence[Person], shift: Shift | None = None, stamp: Stamp
) -> None:
    """Say who may be hanging on the task, on one shift or (without one) on all its shifts."""
    task = Task.objects.select_for_update().get(pk=task.pk)
    if shift is not None and not task.shifts.filter(pk=shift.pk).exists():
        raise Refusal(
            "not-its-shift",
            _("%(task)s is not worked on the shift %(shift)s.") % {"task": task, "shift": shift},
        )
    _expose(task, shift, people)
    facts = {"people": sorted(one.pk for one in people), "shift": shift.name if shift else None}
    record("set-exposed", {task: facts}, stamp=stamp, sites=[task.site_id])


def _expose(task: Task, shift: Shift | None, people: Iterable[Person]) -> None:
    task.exposures.filter(shift=shift).delete()
    Exposure.objects.bulk_create(
        [Exposure(task=task, person=one, shift=shift) for one in dict.fromkeys(people)]
    )


@transaction.atomic
def give_first_call(site: Site, *, tasks: Sequence[Task], stamp: Stamp) -> None:
    """Give these tasks first call on what several need, the first goes first; others have none."""
    refuse_other_site(tasks, site)
    held = Task.objects.select_for_update().filter(site=site).exclude(first_call=None)
    before = list(held)
    Task.objects.filter(pk__in=[task.pk for task in before]).update(first_call=None)
    order = list(dict.fromkeys(tasks))
    for rank, task in enumerate(order, start=1):
        Task.objects.filter(pk=task.pk).update(first_call=rank)
    ranks = {task.pk: rank for rank, task in enumerate(order, start=1)}
    touched = {task.pk: task for task in [*before, *order]}
    facts: dict[Model, dict[str, object]] = {
        task: {"first_call": ranks.get(pk)} for pk, task in touched.items()
    }
    if facts:
        record("give-first-call", facts, stamp=stamp, sites=[site])
