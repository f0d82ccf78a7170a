"""Calendar months, made dates known only roughly, and the end of life."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from register.rules.lifespan import (
    UNKNOWN_SPAN,
    DateSpan,
    add_months,
    last_day_of_life,
    read_span,
    span_of,
)

VECTORS = Path(__file__).parent.parent / "vectors" / "due-dates.csv"
DAYS = st.dates(min_value=date(1950, 1, 1), max_value=date(2150, 12, 31))


@pytest.mark.parametrize(
    "row",
    list(csv.DictReader(VECTORS.open())),
    ids=lambda row: f"{row['performed']}+{row['months']}",
)
def test_months_are_calendar_months_clamped_to_the_month_end(row: dict[str, str]) -> None:
    due = add_months(date.fromisoformat(row["performed"]), int(row["months"]))
    assert due.isoformat() == row["due"]


@given(DAYS, st.integers(min_value=-240, max_value=480))
def test_months_agree_with_python_dateutil(day: date, months: int) -> None:
    assert add_months(day, months) == day + relativedelta(months=months)


def test_no_month_end_sticks() -> None:
    assert add_months(date(2026, 2, 28), 6) == date(2026, 8, 28)


@pytest.mark.parametrize(
    ("text", "first", "last", "precision"),
    [
        ("2024", date(2024, 1, 1), date(2024, 12, 31), "year"),
        ("2024-02", date(2024, 2, 1), date(2024, 2, 29), "month"),
        ("2024-12", date(2024, 12, 1), date(2024, 12, 31), "month"),
        ("2026-w01", date(2025, 12, 29), date(2026, 1, 4), "week"),
        (" 2024-02-29 ", date(2024, 2, 29), date(2024, 2, 29), "day"),
    ],
)
def test_a_made_date_is_the_span_of_days_it_may_mean(
    text: str, first: date, last: date, precision: str
) -> None:
    read = read_span(text)
    assert (read.first, read.last, read.precision) == (first, last, precision)


def test_a_made_date_that_is_not_marked_is_unknown() -> None:
    assert read_span("") == span_of("unknown") == UNKNOWN_SPAN


@pytest.mark.parametrize("text", ["2024-13", "2025-W53", "2023-02-29", "24", "May 2024", "2024-00"])
def test_a_day_that_does_not_exist_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r".+"):
        read_span(text)


def test_a_notice_looks_at_the_whole_span() -> None:
    may = read_span("2024-05")
    assert may.overlaps(date(2024, 5, 31), date(2024, 7, 1))
    assert not may.overlaps(date(2024, 6, 1), date(2024, 7, 1))
    assert UNKNOWN_SPAN.overlaps(date(2024, 6, 1), date(2024, 7, 1))


def test_life_is_counted_from_the_first_day_of_the_span() -> None:
    assert last_day_of_life(read_span("2016"), None, from_made_months=120) == date(2026, 1, 1)
    assert last_day_of_life(read_span("2016-02"), None, from_made_months=120) == date(2026, 2, 1)


def test_the_earlier_of_both_lives_governs() -> None:
    made = read_span("2020-01-10")
    both = {"from_made_months": 120, "from_first_use_months": 60}
    assert last_day_of_life(made, date(2021, 6, 1), **both) == date(2026, 6, 1)
    assert last_day_of_life(made, date(2026, 6, 1), **both) == date(2030, 1, 10)


def test_an_unknown_first_use_counts_from_the_made_date() -> None:
    assert last_day_of_life(read_span("2020"), None, from_first_use_months=60) == date(2025, 1, 1)


def test_without_a_made_date_the_life_is_not_known() -> None:
    both = {"from_made_months": 120, "from_first_use_months": 60}
    assert last_day_of_life(UNKNOWN_SPAN, date(2021, 6, 1), **both) is None


@given(DAYS, DAYS, st.integers(min_value=1, max_value=180))
def test_knowing_less_never_gives_a_longer_life(one: date, two: date, months: int) -> None:
    first, last = sorted((one, two))
    rough = last_day_of_life(DateSpan(first, last, "year"), None, from_made_months=months)
    exact = last_day_of_life(DateSpan(last, last, "day"), None, from_made_months=months)
    assert rough is not None
    assert exact is not None
    assert rough <= exact
