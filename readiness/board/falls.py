"""What a page says of the sums of a task: what stands, whether it counts, and by whom it was done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from readiness.facts.sums import Doubt, clearance_of, newest
from readiness.models import Task, TaskSums
from readiness.rules.situation import Clearance, Policy
from readiness.rules.sums.units import available, required
from readiness.wording.fall import changed_words
from readiness.wording.sums import refusal_sentence
from register.models import Site
from register.wording import shown_day, shown_number


@dataclass(frozen=True, slots=True)
class SumsShown:
    """`sums` is None where there are only typed figures; `counts` where cover goes by them."""

    sums: TaskSums | None
    clearance: Clearance
    counts: bool
    sentence: str

    @property
    def on_paper(self) -> str:
        """When and by whom; where cover does not go by them, why not."""
        return self.sentence if self.sums is None or not self.counts else done_words(self.sums)


def sums_shown(task: Task, rows: Sequence[TaskSums], policy: Policy) -> SumsShown:
    """The sums of a fall in one sentence; `rows` newest version first."""
    sums = newest(rows, TaskSums.Topic.FALL)
    clearance, doubt = clearance_of(task, rows, policy)
    if sums is None:
        return SumsShown(None, clearance, counts=False, sentence=_("Not done: typed figures."))
    if doubt is not None:
        return SumsShown(sums, clearance, counts=False, sentence=doubt_sentence(doubt))
    facts = {"room": _room_words(clearance), "done": done_words(sums)}
    told = _("%(room)s, done %(done)s.") % facts
    return SumsShown(sums, clearance, counts=True, sentence=told)


def _room_words(clearance: Clearance) -> str:
    spare = round((clearance.available_m or 0) - (clearance.required_m or 0), 2)
    if spare < 0:
        return _("Short by %(metres)s m") % {"metres": shown_number(required(-spare))}
    return _("Enough by %(metres)s m on these figures") % {"metres": shown_number(available(spare))}


def done_words(sums: TaskSums) -> str:
    """'3 Mar 2026 by Neve Okoro'."""
    day = shown_day(sums.made_on)
    return _("%(day)s by %(who)s") % {"day": day, "who": sums.author} if sums.author else day


def doubt_sentence(doubt: Doubt) -> str:
    """Why the sums do not count: 'The sums of 3 Mar 2026 are to be done again: ...'."""
    day = shown_day(doubt.sums.made_on)
    if doubt.changed:
        why = changed_words(doubt.changed)
        return _("The sums of %(day)s are to be done again: %(why)s.") % {"day": day, "why": why}
    if doubt.refused is None:
        return ""
    told = refusal_sentence(doubt.refused)
    return _("The sums of %(day)s give no clearance: %(why)s") % {"day": day, "why": told}


def sums_to_redo(site: Site, since: date, policy: Policy) -> dict[str, str]:
    """By task of the site that still runs on that day, why its sums of a fall do not count."""
    rows = (
        TaskSums.objects.filter(task__site=site, task__to_on__gte=since)
        .newest_first()
        .select_related("task")
    )
    by_task: dict[int, list[TaskSums]] = {}
    for row in rows:
        by_task.setdefault(row.task_id, []).append(row)
    found = {}
    for kept in by_task.values():
        task = kept[0].task
        shown = sums_shown(task, kept, policy)
        if shown.sums is not None and not shown.counts:
            found[task.code] = shown.sentence
    return found
