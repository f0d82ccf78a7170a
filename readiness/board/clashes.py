"""Shifts whose hours overlap: each is judged alone, so the page must not let both be relied on."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import time
from itertools import combinations

from django.utils.translation import gettext as _

from register.models import Shift

DAY_MINUTES = 24 * 60


def overlap(one: Shift, other: Shift) -> bool:
    """Whether the two share a minute of the clock; the day before and after are the same clock."""
    return bool(_minutes(one) & _minutes(other))


def clash_words(worked: Iterable[tuple[Shift, frozenset[str]]]) -> str:
    """The warning for the shifts of a site, each with its tasks that need cover; '' for none.

    The same task on both is no clash with itself; a second task on either is.
    """
    found = [
        f"{one.name} {one.hours} / {other.name} {other.hours}"
        for (one, tasks), (other, others) in combinations(worked, 2)
        if tasks and others and len(tasks | others) > 1 and overlap(one, other)
    ]
    if not found:
        return ""
    return _(
        "Hours overlap (%(shifts)s) and each shift is judged alone: do not count on the same kit or "
        "people for both."
    ) % {"shifts": ", ".join(found)}


def _minutes(shift: Shift) -> set[int]:
    first, last = _minute(shift.begins), _minute(shift.ends)
    if last <= first:
        last += DAY_MINUTES
    return {minute % DAY_MINUTES for minute in range(first, last)}


def _minute(at: time) -> int:
    return at.hour * 60 + at.minute
