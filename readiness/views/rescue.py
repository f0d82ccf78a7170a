"""A rescue by numbers: each kit of the site against the task, with the picture to scale, and kept."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from readiness.actions.sums import keep_sums
from readiness.board.falls import done_words
from readiness.board.rescues import Reckoned, reckoned, scene_of
from readiness.documents.side_view import picture_svg
from readiness.facts.kit_parts import exchanged_since
from readiness.facts.rescue import RescueKnown, rescue_known
from readiness.facts.sums import newest
from readiness.forms.rescue import RescueForm, asked_rescue, box_of, figures_of
from readiness.models import Task, TaskSums
from readiness.rules.sums.rescue_figures import RescueGiven, read_rescue
from readiness.rules.sums.values import Refused
from readiness.wording.rescue import exchanged_sentence, why_minutes
from readiness.wording.side_view import scene_lines, scene_title
from register.access import demand, fetch, may, needs
from register.clock import today
from register.telling import kept, stamp_of

TASKS = Task.objects.select_related("site", "zone")


@needs("cover.see")
def task_rescue(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """The form with its answer; asked by a script while somebody types, the answer alone."""
    chosen = fetch(TASKS, request.user, "cover.see", site__code=site, code=task)
    sums = newest(list(chosen.sums.newest_first()), TaskSums.Topic.RESCUE)
    known = rescue_known(chosen, today(chosen.site))
    other_parts = exchanged_since(sums, known.parts)
    form = asked_rescue(request, sums, known.kit_ids, {one.kit for one in other_parts})
    found = _found(form, known, sums)
    if "keep" in request.POST:
        demand(request.user, "task.edit", chosen.site_id)
        if found is not None and _keep(request, chosen, form, sums):
            return redirect(request.path)
    shown = {
        **_shown(form, known, found),
        "task": chosen,
        "known": known,
        "kept": _kept_words(sums),
        "redo": [exchanged_sentence(one) for one in other_parts],
        "may_keep": may(request.user, "task.edit", chosen.site_id),
        "may_rate": may(request.user, "kit.rate", chosen.site_id),
    }
    if getattr(request, "htmx", False):
        return render(request, "readiness/_rescue_live.html", shown)
    status = 422 if form.errors and "keep" in request.POST else 200
    return render(request, "readiness/task_rescue.html", shown, status=status)


def _found(
    form: RescueForm, known: RescueKnown, sums: TaskSums | None
) -> tuple[RescueGiven, Reckoned] | None:
    """Refusals stand in the form, beside their box."""
    if not form.is_valid():
        return None
    try:
        given = read_rescue(figures_of(form, sums.figures if sums else None))
        return given, reckoned(known, given, form.units)
    except Refused as refused:
        form.refuse(refused, box_of(refused, form))
        return None


def _keep(request: HttpRequest, task: Task, form: RescueForm, sums: TaskSums | None) -> bool:
    keep = partial(
        keep_sums,
        task,
        topic=TaskSums.Topic.RESCUE,
        figures=figures_of(form, sums.figures if sums else None),
        stamp=stamp_of(request),
    )
    said = _("The figures are kept. They make no kit fit: that is for the rule of cover alone.")
    return kept(request, form, keep, said)


def _kept_words(sums: TaskSums | None) -> str:
    if sums is None:
        return _("Nothing was put in yet: the sums go by what the register knows.")
    told = {"done": done_words(sums)}
    return _("What was put in was kept %(done)s; all else is read from the register now.") % told


def _shown(
    form: RescueForm, known: RescueKnown, found: tuple[RescueGiven, Reckoned] | None
) -> dict[str, Any]:
    shown: dict[str, Any] = {"form": form, "why_minutes": why_minutes()}
    if found is None:
        return shown
    given, answer = found
    shown["answer"] = answer
    if scene := scene_of(known, given, answer):
        shown["picture"] = {
            "title": scene_title(scene),
            "svg": picture_svg(scene, "rescue", form.units),
            "lines": scene_lines(scene, form.units),
        }
    return shown
