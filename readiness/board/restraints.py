"""What a page says of the kept sums of restraint: what stands, and whether cover goes by them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.db.models import Prefetch
from django.utils.translation import gettext as _

from readiness.board.falls import done_words
from readiness.facts.sums import newest, restraint_of
from readiness.models import Task, TaskSums
from readiness.rules.situation import Policy
from readiness.rules.sums.restraint_figures import restraint_answer
from readiness.rules.sums.values import Refused
from readiness.wording.fall import changed_words
from readiness.wording.rescue_sums import restraint_verdict
from readiness.wording.sums import refusal_sentence
from register.models import Site
from register.wording import shown_day


def kept_restraint(task: Task, rows: Sequence[TaskSums], policy: Policy) -> str:
    """In one sentence; `rows` newest version first."""
    sums = newest(rows, TaskSums.Topic.RESTRAINT)
    if sums is None:
        return _("Not done yet. Nothing is proven until the edges are drawn and the sums kept.")
    day = shown_day(sums.made_on)
    _found, doubt = restraint_of(task, rows, policy)
    if doubt is not None and doubt.changed:
        facts = {"day": day, "why": changed_words(doubt.changed)}
        return _("Not proven: the sums of %(day)s are to be done again: %(why)s.") % facts
    try:
        told = restraint_verdict(restraint_answer(sums.figures, policy).found)
    except Refused as refused:
        facts = {"day": day, "why": refusal_sentence(refused)}
        return _("The sums of %(day)s prove nothing: %(why)s") % facts
    return _("Kept: %(told)s Done %(done)s.") % {"told": told, "done": done_words(sums)}


def restraints_to_redo(site: Site, since: date, policy: Policy) -> dict[str, str]:
    """By task in restraint that still runs on that day, why its sums do not count."""
    tasks = Task.objects.filter(site=site, system=Task.System.RESTRAINT, to_on__gte=since)
    kept = Prefetch("sums", TaskSums.objects.newest_first())
    found = {}
    for task in tasks.prefetch_related(kept):
        rows = list(task.sums.all())
        if restraint_of(task, rows, policy)[1]:
            found[task.code] = kept_restraint(task, rows, policy)
    return found
