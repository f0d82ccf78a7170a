"""The states of tasks along the days to come, which the line draws."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import groupby

from django.utils.translation import gettext as _

from readiness.board.judging import judged
from readiness.facts import SiteRows, situation_of
from readiness.rules.breakpoints import days_of_change
from readiness.rules.line import NOT_WORKED
from readiness.rules.situation import Situation
from readiness.wording import state_name
from register.models import Shift
from register.wording import lower_first, shown_day

LINE_DAYS = 14


def states_along(
    rows: SiteRows, shift: Shift, day: date, count: int = LINE_DAYS
) -> dict[str, tuple[str, ...]]:
    """Each task's state on each of `count` days; a day like the one before is not solved again."""
    by_day = list(_solved(rows, shift, day, count))
    tasks = {task for states in by_day for task in states}
    return {
        task: tuple(states.get(task, NOT_WORKED) for states in by_day) for task in sorted(tasks)
    }


def _solved(rows: SiteRows, shift: Shift, day: date, count: int) -> Iterator[dict[str, str]]:
    changes = set(days_of_change(situation_of(rows, day, shift, count - 1)))
    before: Situation | None = None
    states: dict[str, str] = {}
    for offset in range(count):
        today = day + timedelta(days=offset)
        situation = situation_of(rows, today, shift, 0)
        undated = replace(situation, on=day)
        if today in changes or undated != before:
            states = {task: answer.state for task, answer in judged(situation).items()}
        before = undated
        yield states


def line_words(states: Sequence[str], day: date) -> str:
    """The line in words: each stretch of days with its state."""
    said, first = [], 0
    for state, group in groupby(states):
        length = len(list(group))
        start = day + timedelta(days=first)
        end = day + timedelta(days=first + length - 1)
        said.append(_stretch(start, end, state))
        first += length
    return "; ".join(said) + "."


def _stretch(start: date, end: date, state: str) -> str:
    name = _("not worked") if state == NOT_WORKED else lower_first(state_name(state))
    if start == end:
        return _("%(day)s: %(state)s") % {"day": shown_day(start), "state": name}
    days = {"start": shown_day(start), "end": shown_day(end), "state": name}
    return _("%(start)s to %(end)s: %(state)s") % days
