"""The five questions before arrest: all answered in words, by somebody, on a day."""

from __future__ import annotations

from datetime import date

import pytest

from readiness.rules.sums.hierarchy import (
    QUESTIONS,
    Answered,
    Unanswered,
    in_words,
    needed,
    taken_over,
    unanswered,
)

DAY = date(2026, 11, 2)
WORDS = "The valve can only be reached from the pipe bridge."
WHOLE = {question: Answered(WORDS, "planner", DAY) for question in QUESTIONS}


def test_arrest_asks_all_five_and_proven_restraint_three() -> None:
    assert needed("arrest") == QUESTIONS
    assert needed("restraint", proven_restraint=True) == ("avoid", "safe-place", "collective")
    assert needed("restraint") == QUESTIONS
    assert needed("collective") == ()


def test_all_answered_leaves_nothing_open() -> None:
    assert unanswered(WHOLE, "arrest") == ()


def test_what_is_open_is_told_in_the_order_of_the_questions() -> None:
    answers = WHOLE | {
        "collective": Answered("n/a", "planner", DAY),
        "why-arrest": Answered(WORDS, " ", DAY),
    }
    del answers["avoid"]
    assert unanswered(answers, "arrest") == (
        Unanswered("avoid", "missing"),
        Unanswered("collective", "no-answer"),
        Unanswered("why-arrest", "unnamed"),
    )


@pytest.mark.parametrize(
    "text",
    [
        *("n/a", "N/A.", "n.a.", "NA", "not applicable", "Not applicable here!", "-", "..."),
        *("no", "yes", "same as last time", "not required for this task", "as above"),
        *("1 2 3 4", "sans objet"),
    ],
)
def test_a_stroke_is_no_answer(text: str) -> None:
    assert not in_words(text)


@pytest.mark.parametrize(
    "text", [WORDS, "No: the beam is 12 m up.", "Kein Gerüst möglich, Kranbahn darunter."]
)
def test_a_short_sentence_is_one(text: str) -> None:
    assert in_words(text)


def test_an_answer_taken_over_keeps_its_day_and_shows_the_new_one() -> None:
    again = taken_over(WHOLE["avoid"], "supervisor", date(2026, 12, 1))
    assert (again.answered_on, again.reused_on) == (DAY, date(2026, 12, 1))
    assert again.reused_by == "supervisor"
    assert unanswered(WHOLE | {"avoid": again}, "arrest") == ()
