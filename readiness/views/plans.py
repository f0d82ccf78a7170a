"""Rescue plans and the drills that prove them."""

from __future__ import annotations

from functools import partial

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from readiness.actions.plans import record_drill, review_plan, write_plan
from readiness.forms.plans import DrillForm, PlanForm
from readiness.models import Plan, Task
from register.access import fetch, needs
from register.clock import today
from register.models import Kit
from register.telling import kept, stamp_of, told_to

TASKS = Task.objects.select_related("site", "zone")
CARRIED = (
    *("method", "steps", "matches_task", "relies_on_emergency_services"),
    *("min_rescuers", "target_minutes", "mutual_rescue", "accompanied", "stop_work"),
)


@needs("plan.edit")
def plan_edit(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """A new version of the plan, begun from the one that stands."""
    chosen = fetch(TASKS, request.user, "plan.edit", site__code=site, code=task)
    stands = chosen.plans.first()
    carried = {name: getattr(stands, name) for name in CARRIED} if stands else {}
    begun = {**carried, "reviewed_on": today(chosen.site)}
    form = PlanForm(request.POST or None, instance=Plan(task=chosen), initial=begun)
    if form.is_valid():
        write = partial(write_plan, form.instance, stamp=stamp_of(request))
        if kept(
            request,
            form,
            write,
            _("The plan of %(chosen)s is kept. Practise it.") % {"chosen": chosen},
        ):
            return redirect(chosen)
    shown = {"task": chosen, "form": form, "stands": stands}
    return render(request, "readiness/plan_edit.html", shown, status=422 if form.errors else 200)


@require_POST
@needs("plan.edit")
def plan_review(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """The plan was looked at today and still holds as it stands."""
    chosen = fetch(TASKS, request.user, "plan.edit", site__code=site, code=task)
    plan = _newest(chosen)
    with told_to(request, _("The plan of %(chosen)s is reviewed.") % {"chosen": chosen}):
        review_plan(plan, reviewed_on=today(chosen.site), stamp=stamp_of(request))
    return redirect(chosen)


@needs("drill.record")
def drill_new(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """Record a practised rescue of the plan that stands."""
    chosen = fetch(TASKS, request.user, "drill.record", site__code=site, code=task)
    plan = _newest(chosen)
    kits = Kit.objects.visible_to(request.user).filter(item__site=chosen.site)
    begun = {"drilled_on": today(chosen.site)}
    form = DrillForm(request.POST or None, kits=kits, initial=begun)
    if form.is_valid():
        drill = partial(record_drill, plan, **form.told(), stamp=stamp_of(request))
        if kept(request, form, drill, _("The drill of %(chosen)s is kept.") % {"chosen": chosen}):
            return redirect(chosen)
    shown = {"task": chosen, "form": form, "plan": plan}
    return render(request, "readiness/drill_new.html", shown, status=422 if form.errors else 200)


def _newest(task: Task) -> Plan:
    plan = task.plans.first()
    if plan is None:
        raise Http404("no plan yet")
    return plan
