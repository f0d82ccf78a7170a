"""Reject rates with honest intervals, and spares by Poisson: check values and their sources."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.life_wave import Alike, ends_on, wave
from inspections.rules.rates import Rate, age_band, looks_hurried, ranked, wilson
from inspections.rules.spares import away_at_once, covered_by, spares_for


@pytest.mark.parametrize(("hits", "n", "low", "high"), [(3, 12, 9, 53), (30, 120, 18, 33)])
def test_a_quarter_of_twelve_says_less_than_a_quarter_of_120(
    hits: int, n: int, low: int, high: int
) -> None:
    ends = wilson(hits, n)
    assert [round(100 * end) for end in ends] == [low, high]


@given(st.integers(1, 400), st.data())
def test_each_end_is_where_the_score_test_turns(n: int, data: st.DataObject) -> None:
    """The ends solve (share - p)^2 = z^2 p (1 - p) / n, Wilson's own equation."""
    hits = data.draw(st.integers(0, n))
    for end in wilson(hits, n):
        if 0 < end < 1:
            assert (hits / n - end) ** 2 == pytest.approx(
                1.959964**2 * end * (1 - end) / n, rel=1e-4
            )


def test_the_interval_is_that_of_scipy() -> None:
    stats = pytest.importorskip("scipy.stats", reason="scipy of the oracle extra is not installed")
    for hits, n in [(0, 5), (1, 9), (3, 12), (7, 7), (30, 120), (2, 1999)]:
        found = stats.binomtest(hits, n).proportion_ci(confidence_level=0.95, method="wilson")
        assert wilson(hits, n) == pytest.approx((found.low, found.high), abs=1e-9)


def test_under_twenty_examined_there_is_no_rank() -> None:
    large, small = ranked([Rate("A", 19, 19), Rate("B", 20, 0), Rate("C", 20, 1)])
    assert ([rate.name for rate in large], [rate.name for rate in small]) == (["C", "B"], ["A"])


@pytest.mark.parametrize(
    ("rate", "seconds", "hurried"),
    [
        (Rate("A", 40, 0), 59, True),
        (Rate("A", 40, 0), 60, False),
        (Rate("A", 40, 1), 30, False),
        (Rate("A", 19, 0), 30, False),
        (Rate("A", 40, 0), None, False),
    ],
)
def test_no_rejects_in_no_time_is_pointed_at(
    rate: Rate,
    seconds: int | None,
    hurried: bool,  # noqa: FBT001
) -> None:
    assert looks_hurried(rate, seconds) is hurried


@pytest.mark.parametrize(
    ("months", "band"),
    [(None, "age not known"), (11, "under 1 year"), (12, "1 to 2 years"), (132, "over 10 years")],
)
def test_age_bands_begin_on_the_anniversary(months: int | None, band: str) -> None:
    assert age_band(months) == band


@pytest.mark.parametrize(
    ("mean", "spares", "chance"), [(2.0, 5, 0.983), (3.5, 7, 0.973), (6.0, 10, 0.957)]
)
def test_the_fewest_spares_that_are_enough(mean: float, spares: int, chance: float) -> None:
    assert spares_for(mean) == spares
    assert covered_by(spares, mean) == pytest.approx(chance, abs=0.0005)
    assert covered_by(spares - 1, mean) < 0.95


def test_spares_agree_with_many_small_chances() -> None:
    """Poisson as the limit of the binomial with exact fractions: 2 expected of 20,000."""
    n, p = 20_000, Fraction(1, 10_000)
    exact = sum(comb(n, k) * p**k * (1 - p) ** (n - k) for k in range(6))
    assert covered_by(5, 2.0) == pytest.approx(float(exact), abs=1e-4)


def test_twelve_rejects_a_year_missing_a_month_each_are_one_at_a_time() -> None:
    assert away_at_once(12, 365 / 12) == pytest.approx(1)


def harness(made: date | None, used: date | None = None, months: int | None = 120) -> Alike:
    return Alike("harness", made, used, months, None, 3)


def test_lives_end_in_their_month_and_what_is_not_known_is_said() -> None:
    today = date(2026, 3, 9)
    found = wave(
        [
            harness(date(2020, 5, 4)),
            harness(date(2010, 1, 1)),
            harness(None),
            harness(date(2026, 3, 9)),
            harness(date(2020, 1, 1), months=None),
        ],
        [],
        today,
    )
    assert found.months == {(2030, 5): {"harness": 3}}
    assert (found.over, found.unknown, found.later, found.no_limit) == (3, 3, 3, 3)


def test_the_earlier_of_two_lives_ends_it() -> None:
    both = Alike("harness", date(2020, 1, 1), date(2021, 1, 1), 120, 60, 1)
    assert ends_on(both, []) == (date(2026, 1, 1), True)
