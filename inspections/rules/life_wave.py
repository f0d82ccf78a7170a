"""When equipment reaches the end of its life: how many pieces of each class, month by month."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from inspections.rules.schemes import Interval, Scheme, life_from_made
from register.rules.lifespan import DateSpan, last_day_of_life

YEARS = 10


@dataclass(frozen=True, slots=True)
class Alike:
    """Pieces of one class, made and first used on the same days, under the same limits."""

    equipment_class: str
    made_on: date | None
    first_used_on: date | None
    from_made_months: int | None
    from_first_use_months: int | None
    number: int


@dataclass(frozen=True, slots=True)
class Wave:
    """months: (year, month), class, pieces. over: ended before. unknown: no made date to count from.

    later: after the last month. no_limit: nobody states a life.
    """

    months: dict[tuple[int, int], dict[str, int]]
    over: int
    unknown: int
    later: int
    no_limit: int


def ends_on(alike: Alike, schemes: Sequence[Scheme]) -> tuple[date | None, bool]:
    """The last day of life, and whether there is a limit at all."""
    stated = alike.from_made_months
    own = [Interval(stated, "maker", "stated")] if stated else []
    made = life_from_made(schemes, alike.equipment_class, own=own)
    in_use = alike.from_first_use_months or None
    if made is None and in_use is None:
        return None, False
    span = DateSpan(alike.made_on, alike.made_on, "day")
    if made is None and alike.first_used_on:
        span = DateSpan(alike.first_used_on, alike.first_used_on, "day")
    last = last_day_of_life(
        span,
        alike.first_used_on,
        from_made_months=made.months if made else None,
        from_first_use_months=in_use,
    )
    return last, True


def wave(pieces: Iterable[Alike], schemes: Sequence[Scheme], today: date) -> Wave:
    """The ten years from the month of today."""
    months: dict[tuple[int, int], dict[str, int]] = {}
    over = unknown = later = no_limit = 0
    end = (today.year + YEARS, today.month)
    for alike in pieces:
        last, limited = ends_on(alike, schemes)
        if not limited:
            no_limit += alike.number
        elif last is None:
            unknown += alike.number
        elif last < today:
            over += alike.number
        elif (last.year, last.month) >= end:
            later += alike.number
        else:
            month = months.setdefault((last.year, last.month), {})
            month[alike.equipment_class] = month.get(alike.equipment_class, 0) + alike.number
    return Wave(dict(sorted(months.items())), over, unknown, later, no_limit)
