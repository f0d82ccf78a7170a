"""A kept statement is read as it was written, exactly."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.rules.cover import STATES, Answer, Serves
from readiness.rules.demand import Resource
from readiness.rules.fact_json import plain
from readiness.rules.reasons import CODES, Reason
from readiness.rules.spans import Span
from readiness.rules.statement import Names, Statement
from readiness.rules.statement_json import read, written
from tests.readiness.test_statement import stated
from tests.readiness.timelines import ZONE, at

words = st.text(max_size=8)
numbers = st.floats(allow_nan=False) | st.integers(-(10**6), 10**6)
plain_facts = st.none() | st.booleans() | numbers | words | st.dates()
facts = st.recursive(
    plain_facts,
    lambda inner: (
        st.lists(inner, max_size=3).map(tuple) | st.dictionaries(words, inner, max_size=3)
    ),
    max_leaves=6,
)
reasons = st.builds(
    Reason, st.sampled_from(CODES), st.dictionaries(st.sampled_from(["kit", "due"]), facts)
)
listed = st.lists(words, max_size=2).map(tuple)
some_reasons = st.lists(reasons, max_size=2).map(tuple)
answers = st.builds(
    Answer,
    st.sampled_from(STATES),
    hangs_on=st.lists(st.builds(Resource, words, words), max_size=2).map(tuple),
    lapses_on=st.none() | st.dates(),
    lapse_reasons=some_reasons,
    reasons=some_reasons,
    missing=listed,
    serves=st.none() | st.builds(Serves, words, listed, words, listed, numbers),
    treated_as_arrest=st.none() | reasons,
    finished=st.booleans(),
)
held = st.dictionaries(words, answers, max_size=3)


@st.composite
def statements(draw: st.DrawFn) -> Statement:
    """A few spans in a row, some of which have the same answers."""
    known = draw(st.lists(held, min_size=1, max_size=3))
    places = draw(st.lists(st.integers(0, len(known) - 1), min_size=1, max_size=6))
    begins = at("06:00")
    hours = [begins + timedelta(microseconds=3_600_000_001 * n) for n in range(len(places) + 1)]
    found = [Span(hours[n], hours[n + 1], known[place]) for n, place in enumerate(places)]
    named = st.dictionaries(words, words, max_size=2)
    names = draw(st.builds(Names, *[named] * 5))
    clock = st.times().map(lambda at: at.replace(fold=0))
    told: dict[str, Any] = {"undeclared": draw(st.integers()), "staffed": draw(st.booleans())}
    shifts = st.lists(st.tuples(clock, clock), max_size=2).map(tuple)
    told["hours"] = draw(st.dictionaries(words, shifts, max_size=2))
    return Statement(draw(words), ZONE, begins, draw(words), tuple(found), names, **told)


@given(statements())
def test_a_statement_is_read_as_it_was_written(statement: Statement) -> None:
    again = read(written(statement))

    assert again == statement
    assert repr(again) == repr(statement)  # 5 and 5.0 are equal, and not the same


def test_a_statement_that_was_made_is_read_as_it_was_written() -> None:
    assert read(written(stated())) == stated()


def test_equal_answers_are_written_once() -> None:
    one, same = {"T1": Answer("not-assessed")}, {"T1": Answer("not-assessed")}
    hours = [at("06:00"), at("07:00"), at("08:00")]
    found = (Span(hours[0], hours[1], one), Span(hours[1], hours[2], same))
    again = read(written(Statement("corrick", ZONE, hours[0], "", found)))

    assert again.spans[0].answers is again.spans[1].answers


@pytest.mark.parametrize("strange", [{1, 2}, [1], b"", object()])
def test_a_fact_of_a_kind_that_no_reason_has_is_refused_not_guessed(strange: object) -> None:
    with pytest.raises(TypeError):
        plain(strange)


def test_a_day_and_a_moment_are_told_apart() -> None:
    assert plain(date(2026, 3, 9)) != plain(datetime(2026, 3, 9, tzinfo=ZONE))
