"""The states of tasks along the days to come, which the line draws."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from itertools import groupby

from django.utils.translation import gettext as _

from readiness.rules.line import NOT_WORKED
from readiness.rules.spans import WORST_FIRST
from readiness.rules.statement import Statement
from readiness.rules.windows import Window, midnight
from readiness.wording import state_name
from register.wording import lower_first, shown_day

LINE_DAYS = 14
_DAY = timedelta(days=1)


def day_of(statement: Statement, day: date) -> Window:
    """From midnight to midnight, by the clock on site."""
    return (midnight(day, statement.zone), midnight(day + _DAY, statement.zone))


def states_along(
    statement: Statement, task: str, at: datetime, count: int = LINE_DAYS
) -> tuple[str, ...]:
    """The worst of each day, the first from `at` on; what is over no longer counts."""
    first = at.astimezone(statement.zone).date()
    days = [day_of(statement, first + offset * _DAY) for offset in range(count)]
    return tuple(_worst(statement, task, (max(begins, at), ends)) for begins, ends in days)


def _worst(statement: Statement, task: str, window: Window) -> str:
    piece = statement.worst(task, *window)
    return piece.answer.state if piece and piece.answer else NOT_WORKED


def worst_along(lines: Iterable[Sequence[str]]) -> tuple[str, ...]:
    """One line for all: of each day the worst state of any."""
    order = (*WORST_FIRST, NOT_WORKED)
    return tuple(min(states, key=order.index) for states in zip(*lines, strict=True))


def stretches(states: Sequence[str], day: date) -> list[tuple[date, date, str]]:
    """Days in a row with one state: first, last, state."""
    found, first = [], 0
    for state, group in groupby(states):
        length = len(list(group))
        found.append((day + first * _DAY, day + (first + length - 1) * _DAY, state))
        first += length
    return found


def line_words(states: Sequence[str], day: date) -> str:
    """The line in words: each stretch of days with its state."""
    return "; ".join(_stretch(*one) for one in stretches(states, day)) + "."


def day_state(state: str) -> str:
    """A day's state in the middle of a sentence."""
    return _("not worked") if state == NOT_WORKED else lower_first(state_name(state))


def _stretch(start: date, end: date, state: str) -> str:
    name = day_state(state)
    if start == end:
        return _("%(day)s: %(state)s") % {"day": shown_day(start), "state": name}
    days = {"start": shown_day(start), "end": shown_day(end), "state": name}
    return _("%(start)s to %(end)s: %(state)s") % days
