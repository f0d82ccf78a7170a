"""The sums of restraint: points typed, the plan drawn to scale while they are typed, and kept."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from readiness.actions.sums import keep_sums
from readiness.board.restraints import kept_restraint
from readiness.documents.side_view import picture_svg
from readiness.facts.situations import policy_of
from readiness.facts.sums import newest
from readiness.forms.restraint import RestraintForm
from readiness.forms.restraint_figures import asked_restraint, box_of, figures_of
from readiness.models import CoverPolicy, Task, TaskSums
from readiness.rules.situation import Policy
from readiness.rules.sums.restraint_figures import RestraintAnswer, restraint_answer
from readiness.rules.sums.restraint_view import restraint_scene
from readiness.rules.sums.values import Refused
from readiness.wording.lengths import needed_words
from readiness.wording.restraint import restraint_words
from readiness.wording.side_view import scene_lines, scene_title
from register.access import demand, fetch, may, needs
from register.telling import kept, stamp_of

TASKS = Task.objects.select_related("site", "zone")


@needs("cover.see")
def task_restraint(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """The form with its answer; asked by a script while somebody types, the answer alone."""
    chosen = fetch(TASKS, request.user, "cover.see", site__code=site, code=task)
    rows = list(chosen.sums.newest_first())
    policy = policy_of(CoverPolicy.objects.first() or CoverPolicy())
    form = asked_restraint(request, chosen, newest(rows, TaskSums.Topic.RESTRAINT))
    answer = _answer(form, policy)
    if "keep" in request.POST:
        demand(request.user, "task.edit", chosen.site_id)
        if answer is not None and _keep(request, chosen, form):
            return redirect(request.path)
    shown = {
        **_shown(form, answer),
        "task": chosen,
        "allowance": needed_words(policy.restraint_allowance_m, form.units),
        "kept": kept_restraint(chosen, rows, policy),
        "may_keep": may(request.user, "task.edit", chosen.site_id),
    }
    if getattr(request, "htmx", False):
        return render(request, "readiness/_restraint_live.html", shown)
    status = 422 if form.errors and "keep" in request.POST else 200
    return render(request, "readiness/task_restraint.html", shown, status=status)


def _answer(form: RestraintForm, policy: Policy) -> RestraintAnswer | None:
    """Refusals stand in the form, beside their box."""
    if not form.is_bound or not form.is_valid():
        return None
    try:
        return restraint_answer(figures_of(form), policy)
    except Refused as refused:
        form.refuse(refused, box_of(refused, form))
        return None


def _keep(request: HttpRequest, task: Task, form: RestraintForm) -> bool:
    keep = partial(
        keep_sums,
        task,
        topic=TaskSums.Topic.RESTRAINT,
        figures=figures_of(form),
        product=form.cleaned_data["product"],
        anchor=form.cleaned_data["anchor"],
        stamp=stamp_of(request),
    )
    if task.system == Task.System.RESTRAINT:
        said = _("The sums are kept. The cover of the task goes by them now.")
    else:
        said = _("The sums are kept. They count once the task is declared as restraint.")
    return kept(request, form, keep, said)


def _shown(form: RestraintForm, answer: RestraintAnswer | None) -> dict[str, Any]:
    if answer is None:
        return {"form": form}
    scene = restraint_scene(answer.case.layout, answer.case.anchorage, answer.found)
    return {
        "form": form,
        "words": restraint_words(answer, form.units),
        "picture": {
            "title": scene_title(scene),
            "svg": picture_svg(scene, "restraint", form.units),
            "lines": scene_lines(scene, form.units),
        },
    }
