"""Why a task is done this way: what was answered last, and what restraint would take here."""

from __future__ import annotations

from django.utils.translation import gettext as _

from readiness.facts.sums import changed_since, newest, restraint_of
from readiness.models import Task, TaskSums
from readiness.rules.situation import Policy, Restraint
from readiness.rules.sums.restraint_figures import restraint_answer
from readiness.rules.sums.values import Refused
from readiness.wording.sums import available_length
from register.models import ActNote


def why_this_way(task: Task) -> ActNote | None:
    """The newest answers, with the act that has their author and day."""
    notes = ActNote.objects.filter(
        field="why_this_way", act__entries__thing_kind="task", act__entries__thing_id=task.pk
    )
    return notes.select_related("act__by__person").order_by("-act__at").first()


def restraint_proof(task: Task, policy: Policy) -> str:
    """The sum of restraint beside the question: by the sums kept, else by the figures typed."""
    longest, edge = _longest(task, policy), task.restraint_edge_m
    if longest is None:
        return _(
            "How far the anchor is from the edge is not known: give it, and it is told which lanyard "
            "would be proven restraint."
        )
    if longest <= 0:
        return _("No lanyard would be proven restraint here: the anchor is too near to the edge.")
    facts = {"longest": available_length(longest)}
    if edge is None:
        return _("A fixed lanyard of up to %(longest)s would be proven restraint here.") % facts
    facts["edge"] = available_length(edge)
    return (
        _(
            "Anchor %(edge)s from the edge: a fixed lanyard of up to %(longest)s would be proven restraint."
        )
        % facts
    )


def restraint_known(task: Task, policy: Policy) -> Restraint | None:
    """What cover would ask of the task as it is typed now: by its kept sums where there are any."""
    rows = list(task.sums.newest_first()) if task.pk else []
    return restraint_of(task, rows, policy)[0]


def _longest(task: Task, policy: Policy) -> float | None:
    """None where nothing could be proven: an open rim, or sums of what has changed since."""
    sums = newest(list(task.sums.newest_first()), TaskSums.Topic.RESTRAINT)
    if sums is not None:
        try:
            answer = restraint_answer(sums.figures, policy)
        except Refused:
            return None
        counts = answer.case.closed and not changed_since(sums, task)
        return (answer.found.longest_m or 0.0) if counts else None
    if task.restraint_edge_m is None:
        return None
    return (
        task.restraint_edge_m - (task.restraint_deflection_m or 0.0) - policy.restraint_allowance_m
    )
