"""Rates and ends of life as rows for a page."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from inspections.rules.life_wave import Wave
from inspections.rules.rates import Rate
from inspections.work_wording import classes_words
from register.wording import month_name, shown_number

SMALL = 9.95  # per cent; below, one decimal is shown


@dataclass(frozen=True, slots=True)
class RateRow:
    """One rate in per cent; ``low`` and ``high`` are the ends of its interval."""

    rate: Rate
    share: str
    low: str
    high: str


@dataclass(frozen=True, slots=True)
class MonthRow:
    """The pieces whose life ends in one month."""

    name: str
    number: int
    classes: str


@dataclass(frozen=True, slots=True)
class YearRow:
    """One year and its months; ``most`` is the greatest month of all years, for the bars."""

    year: int
    number: int
    classes: str
    months: tuple[MonthRow, ...]
    most: int


def rate_rows(rates: Sequence[Rate]) -> list[RateRow]:
    """In per cent, rounded as far as their size bears."""
    return [
        RateRow(rate, percent(rate.share), *(percent(end) for end in rate.interval))
        for rate in rates
    ]


def percent(share: float) -> str:
    """'25', '1.3' or '0'."""
    value = 100 * share
    return shown_number(round(value, 1) if 0 < value < SMALL else round(value))


def wave_rows(found: Wave) -> list[YearRow]:
    """By year, then month."""
    most = max((sum(month.values()) for month in found.months.values()), default=0)
    years: dict[int, list[MonthRow]] = {}
    totals: dict[int, Counter[str]] = {}
    for (year, month), numbers in found.months.items():
        row = MonthRow(month_name(month), sum(numbers.values()), classes_words(numbers))
        years.setdefault(year, []).append(row)
        totals.setdefault(year, Counter()).update(numbers)
    return [
        YearRow(year, totals[year].total(), classes_words(totals[year]), tuple(rows), most)
        for year, rows in years.items()
    ]
