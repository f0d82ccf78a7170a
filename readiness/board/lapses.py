"""Why cover will end on a later day, told of what changes on that very day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from django.utils.translation import gettext as _

from readiness.rules.cover import Answer
from readiness.rules.reasons import Reason
from readiness.rules.situation import Situation, Task
from readiness.rules.suitability import WhyNot, why_not
from readiness.wording import reason_sentence, weekday_and_day

_DAY = timedelta(days=1)
MOST_PEOPLE = 3
"""Named one by one; where more are lost at once, the sentence about all of them says it better."""


def lapse_words(answer: Answer, task: Task, situation: Situation) -> str:
    """Empty while cover lasts. A kit that never would have done is no news on the day it ends."""
    day = answer.lapses_on
    if day is None:
        return ""
    reasons = list(_changes(task, situation, day)) or answer.lapse_reasons
    said = dict.fromkeys(reason_sentence(reason) for reason in reasons)
    words = {"day": weekday_and_day(day), "why": " ".join(said)}
    return _("No longer covered from %(day)s: %(why)s") % words


def _changes(task: Task, situation: Situation, day: date) -> Iterator[Reason]:
    """What speaks against the task, or a kit with its people, on the day and not the day before."""
    before, then = why_not(task, situation, day - _DAY), why_not(task, situation, day)
    stood = {reason.code for reason in before.task}
    yield from (reason for reason in then.task if reason.code not in stood)
    served = {judged.kit.id for judged in before.kits if not judged.reasons}
    for judged in then.kits:
        if judged.kit.id in served:
            for reason in judged.reasons:
                yield from _lost(before, then, judged.kit.family, reason)


def _lost(before: WhyNot, then: WhyNot, family: str, reason: Reason) -> Iterator[Reason]:
    """For a reason about a kit's people: those who would have done the day before."""
    able = {one.person.id for one in before.people if one.family == family and not one.reason}
    lost = [
        one.reason
        for one in then.people
        if one.family == family and one.person.id in able and one.reason
    ]
    of_people = "kit" not in reason.facts
    yield from lost if of_people and 0 < len(lost) <= MOST_PEOPLE else [reason]
