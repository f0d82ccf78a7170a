"""The sums of a fall: typed, reckoned while they are typed, drawn to scale, kept, and on paper."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from readiness.actions.sums import keep_sums
from readiness.board.falls import sums_shown
from readiness.documents.fall_pictures import fall_scenes
from readiness.documents.fall_sheet import Sheet, fall_sheet
from readiness.documents.side_view import picture_svg
from readiness.facts.situations import policy_now
from readiness.facts.sums import newest
from readiness.forms.fall import FallForm
from readiness.forms.fall_asking import asked_form, figures_and_refusal, refuse
from readiness.forms.fall_boxes import anchor_label
from readiness.models import Task, TaskSums
from readiness.rules.sums.arrest_limits import ForceCheck
from readiness.rules.sums.fall import FallAnswer, fall_answer, warning_without_absorber
from readiness.rules.sums.values import Refused
from readiness.wording.fall import fall_words
from readiness.wording.side_view import scene_lines, scene_title
from readiness.wording.sums import without_absorber_sentence
from register.access import demand, fetch, may, needs
from register.telling import kept, stamp_of

TASKS = Task.objects.select_related("site", "zone")


@dataclass(frozen=True, slots=True)
class Reckoned:
    """What came of the figures typed: an answer, a warning alone, or neither."""

    figures: dict[str, object] | None = None
    answer: FallAnswer | None = None
    bare: ForceCheck | None = None


@needs("cover.see")
def task_fall(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """The form with its answer; asked by a script while somebody types, the answer alone."""
    chosen = fetch(TASKS, request.user, "cover.see", site__code=site, code=task)
    rows = list(chosen.sums.newest_first())
    form = asked_form(request, chosen, newest(rows, TaskSums.Topic.FALL))
    reckoned = _reckoned(form)
    if "keep" in request.POST:
        demand(request.user, "task.edit", chosen.site_id)
        if _keep(request, chosen, form, reckoned):
            return redirect(request.path)
    shown = {
        **_answer_shown(form, reckoned),
        "task": chosen,
        "kept": sums_shown(chosen, rows, policy_now()),
        "may_keep": may(request.user, "task.edit", chosen.site_id),
    }
    if getattr(request, "htmx", False) and request.htmx.target == "fall-answer":  # type: ignore[attr-defined]
        return render(request, "readiness/_fall_live.html", shown)
    status = 422 if form.errors and "keep" in request.POST else 200
    return render(request, "readiness/task_fall.html", shown, status=status)


def _reckoned(form: FallForm) -> Reckoned:
    """Refusals stand in the form, beside their box."""
    figures = figures_and_refusal(form)
    if figures is None:
        return Reckoned()
    try:
        if figures["system"] == "no-absorber":
            return Reckoned(figures, bare=warning_without_absorber(figures))
        return Reckoned(figures, fall_answer(figures, policy_now()))
    except Refused as refused:
        refuse(form, refused)
        return Reckoned(figures)


def _keep(request: HttpRequest, task: Task, form: FallForm, reckoned: Reckoned) -> bool:
    if reckoned.bare is not None:
        refuse(form, Refused("system", "no-absorber"))
    if reckoned.answer is None:
        return False
    keep = partial(
        keep_sums,
        task,
        topic=TaskSums.Topic.FALL,
        figures=reckoned.figures or {},
        product=form.cleaned_data["product"],
        anchor=form.cleaned_data["anchor"],
        stamp=stamp_of(request),
    )
    return kept(
        request, form, keep, _("The sums are kept. The cover of the task goes by them now.")
    )


def _answer_shown(form: FallForm, reckoned: Reckoned) -> dict[str, Any]:
    in_feet = form.units == "ft"
    shown: dict[str, Any] = {"form": form}
    if reckoned.bare is not None:
        shown["bare"] = without_absorber_sentence(reckoned.bare, in_feet=in_feet)
    if reckoned.answer is None:
        return shown
    scenes = fall_scenes(reckoned.answer, _anchor_name(form))
    shown["words"] = fall_words(reckoned.answer, form.units)
    shown["pictures"] = [
        {
            "title": scene_title(scene),
            "svg": picture_svg(scene, f"fall-{scene.kind}", form.units),
            "lines": scene_lines(scene, form.units),
        }
        for scene in scenes
    ]
    return shown


def _anchor_name(form: FallForm) -> str:
    anchor = form.cleaned_data.get("anchor") if form.is_bound else None
    return anchor_label(anchor) if anchor else ""


@needs("cover.see")
def task_fall_sheet(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """On paper: what is kept, or (posted) what is typed and not kept yet."""
    chosen = fetch(TASKS, request.user, "cover.see", site__code=site, code=task)
    rows = list(chosen.sums.newest_first())
    sums = newest(rows, TaskSums.Topic.FALL)
    form = asked_form(request, chosen, sums)
    reckoned = _reckoned(form)
    if reckoned.answer is None:
        return redirect("readiness:task-fall", chosen.site.code, chosen.code)
    kept_now = sums_shown(chosen, rows, policy_now()) if request.method == "GET" else None
    paper = fall_sheet(
        Sheet(
            heading=_("%(task)s: side view and sums of the fall") % {"task": chosen},
            told=kept_now.on_paper if kept_now else _("Not kept: figures as typed."),
            counts=kept_now is None or kept_now.counts,
            words=fall_words(reckoned.answer, form.units),
            scenes=fall_scenes(reckoned.answer, _anchor_name(form)),
            unit=form.units,
        )
    )
    headers = {"Content-Disposition": f'inline; filename="fall-{chosen.code}.pdf"'}
    return HttpResponse(paper, content_type="application/pdf", headers=headers)
