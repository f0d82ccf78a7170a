"""Tasks at height: the list of a site, one task, and the forms that declare, change and end it."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.db.models import F
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from readiness.actions.tasks import (
    change_task,
    declare_task,
    end_task,
    give_first_call,
    set_exposed,
)
from readiness.board.falls import sums_shown
from readiness.board.instead import restraint_known, restraint_proof, why_this_way
from readiness.board.restraints import kept_restraint
from readiness.facts.situations import plan_of, policy_of
from readiness.forms.instead import InsteadForm, questions_of
from readiness.forms.tasks import EndTaskForm, ExposedForm, FirstCallForm, TaskForm
from readiness.models import CoverPolicy, Task
from register.access import fetch, may, needs
from register.clock import today
from register.models import Site
from register.telling import kept, stamp_of

TASKS = Task.objects.select_related("site", "zone")


@needs("cover.see")
def task_list(request: HttpRequest, site: str) -> HttpResponse:
    """Every task ever declared at the site, those that still run first."""
    place = fetch(Site.objects.all(), request.user, "cover.see", code=site)
    rows = TASKS.filter(site=place).prefetch_related("shifts").order_by("-to_on", "code")
    shown = {
        "site": place,
        "tasks": rows,
        "today": today(place),
        "may_plan": may(request.user, "task.edit", place),
    }
    return render(request, "readiness/task_list.html", shown)


@needs("cover.see")
def task_detail(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """All that is declared of a task, its plan, its drills, and why it is done this way."""
    chosen = fetch(TASKS, request.user, "cover.see", site__code=site, code=task)
    plans = list(chosen.plans.prefetch_related("drills__kit").select_related("author__person"))
    stands, kept_sums = plan_of(plans), list(chosen.sums.newest_first())
    shown = {
        "task": chosen,
        "exposures": chosen.exposures.select_related("person", "shift"),
        "anchors": chosen.rescue_anchors.select_related("product", "zone"),
        "sums": sums_shown(chosen, kept_sums, policy_of(_policy())),
        "restraint": kept_restraint(chosen, kept_sums, policy_of(_policy())),
        "plan": next(iter(plans), None),
        "plans": plans,
        "drilled": stands is not None and stands.drill is not None,
        "instead": why_this_way(chosen),
        "may_plan": may(request.user, "task.edit", chosen.site_id),
        "may_keep": may(request.user, "check.keep", chosen.site_id),
        "may_drill": may(request.user, "drill.record", chosen.site_id),
    }
    return render(request, "readiness/task_detail.html", shown)


@needs("task.edit")
def task_new(request: HttpRequest, site: str) -> HttpResponse:
    """Declare a task; who relies on being caught answers five questions first."""
    place = fetch(Site.objects.all(), request.user, "task.edit", code=site)
    form = TaskForm(request.POST or None, site=place, day=today(place))
    instead = _instead(request, form)
    if _both_valid(form, instead):
        declare = partial(
            declare_task,
            form.instance,
            **form.parts(),
            instead_of=instead.answers if instead.is_bound else "",
            stamp=stamp_of(request),
        )
        if kept(
            request,
            form,
            declare,
            _("%(instance)s is declared. Now write its plan.") % {"instance": form.instance},
        ):
            return redirect(form.instance)
    shown = {"site": place, "form": form, "instead": instead, "policy": _policy()}
    return render(request, "readiness/task_new.html", shown, status=_status(form, instead))


@needs("task.edit")
def task_edit(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """Change what is declared; the ledger keeps what stood before."""
    chosen = fetch(TASKS, request.user, "task.edit", site__code=site, code=task)
    was = chosen.system
    form = TaskForm(request.POST or None, instance=chosen, site=chosen.site, day=today(chosen.site))
    instead = _instead(request, form, chosen, was)
    if _both_valid(form, instead):
        change = partial(
            change_task,
            form.instance,
            **form.parts(),
            instead_of=instead.answers if instead.is_bound else "",
            stamp=stamp_of(request),
        )
        if kept(request, form, change, _("%(chosen)s is changed.") % {"chosen": chosen}):
            return redirect(chosen)
    shown = {
        "task": chosen,
        "form": form,
        "instead": instead,
        "policy": _policy(),
        "sums": sums_shown(chosen, list(chosen.sums.newest_first()), policy_of(_policy())),
    }
    return render(request, "readiness/task_edit.html", shown, status=_status(form, instead))


@needs("task.edit")
def task_end(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """Let a task end sooner; nothing of it is deleted."""
    chosen = fetch(TASKS, request.user, "task.edit", site__code=site, code=task)
    form = EndTaskForm(request.POST or None, initial={"last_on": today(chosen.site)})
    if form.is_valid():
        end = partial(end_task, chosen, **form.cleaned_data, stamp=stamp_of(request))
        if kept(request, form, end, _("%(chosen)s ends sooner now.") % {"chosen": chosen}):
            return redirect(chosen)
    shown = {"task": chosen, "form": form}
    return render(request, "readiness/task_end.html", shown, status=_status(form))


@needs("task.edit")
def task_exposed(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """Who may be hanging on one shift, beside those named for every shift."""
    chosen = fetch(TASKS, request.user, "task.edit", site__code=site, code=task)
    form = ExposedForm(request.POST or None, task=chosen, day=today(chosen.site))
    if form.is_valid():
        name = partial(set_exposed, chosen, **form.cleaned_data, stamp=stamp_of(request))
        if kept(
            request, form, name, _("Who may be hanging on %(chosen)s is kept.") % {"chosen": chosen}
        ):
            return redirect(chosen)
    shown = {"task": chosen, "form": form}
    return render(request, "readiness/task_exposed.html", shown, status=_status(form))


@needs("first-call.give")
def first_call(request: HttpRequest, site: str) -> HttpResponse:
    """Which task goes first where several need the same kit or people."""
    place = fetch(Site.objects.all(), request.user, "first-call.give", code=site)
    running = Task.objects.filter(site=place, to_on__gte=today(place)).order_by(
        F("first_call").asc(nulls_last=True), "code"
    )
    form = FirstCallForm(request.POST or None, tasks=running)
    if form.is_valid():
        give = partial(give_first_call, place, tasks=form.order, stamp=stamp_of(request))
        if kept(request, form, give, _("First call is kept.")):
            return redirect(place)
    shown = {"site": place, "form": form}
    return render(request, "readiness/first_call.html", shown, status=_status(form))


def _policy() -> CoverPolicy:
    return CoverPolicy.objects.first() or CoverPolicy()


def _status(*forms: BaseForm) -> int:
    """422 where a form comes back with what is wrong."""
    return 422 if any(form.errors for form in forms) else 200


def _instead(
    request: HttpRequest, form: TaskForm, task: Task | None = None, was: str = ""
) -> InsteadForm:
    """Asked of who relies on being caught or held back; again on a change only where any answer is
    given anew, or the task did not rely on it before."""
    policy = policy_of(_policy())
    parts: dict[str, Any] = {}
    if task is not None:
        parts = {"earlier": why_this_way(task), "proof": restraint_proof(task, policy)}
    if not form.is_bound:
        return InsteadForm(**parts)
    restraint = restraint_known(form.instance, policy) if form.is_valid() else None
    system = form.cleaned_data.get("system", "")
    asked = questions_of(system, restraint, policy.restraint_allowance_m) if system else ()
    given = any(request.POST.get(name) for name in InsteadForm.base_fields)
    anew = given or was != system
    return (
        InsteadForm(request.POST, asked=asked, **parts) if asked and anew else InsteadForm(**parts)
    )


def _both_valid(form: TaskForm, instead: InsteadForm) -> bool:
    """Both are looked at, so that all that is wrong is told at once."""
    answered = not instead.is_bound or instead.is_valid()
    return form.is_valid() and answered
