"""The five questions before arrest is chosen: which must be answered, and what is no answer.

Reg 6 of the Work at Height Regulations 2005 in its order: avoid, a safe place, prevent
for all, prevent for one, and only then keep distance and consequences small. That they are put as five
questions and answered in words is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

QUESTIONS: Final = ("avoid", "safe-place", "collective", "restraint", "why-arrest")
BEFORE_RESTRAINT: Final = QUESTIONS[:3]
FEWEST_WORDS: Final = 3

_NO_ANSWER: Final = re.compile(
    r"(n ?a|not applicable|none|nil|no|yes|not needed|not required|not relevant"
    r"|see above|as above|as before|as last time|same|same as before|same as above|same as last time)"
    r"( here| for this task| this time| in this case)?"
)


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer in words, who gave it and on which day; taken over again, by whom and when."""

    words: str
    by: str
    answered_on: date
    reused_by: str = ""
    reused_on: date | None = None


@dataclass(frozen=True, slots=True)
class Unanswered:
    """A question still open: `missing`, `no-answer` (a stroke, 'n/a', a bare no), `unnamed`."""

    question: str
    why: str


def needed(system: str, *, proven_restraint: bool = False) -> tuple[str, ...]:
    """The questions a task of this system must answer. Restraint that is not proven is arrest."""
    if system == "collective":
        return ()
    if system == "restraint" and proven_restraint:
        return BEFORE_RESTRAINT
    return QUESTIONS


def unanswered(
    answers: Mapping[str, Answered], system: str, *, proven_restraint: bool = False
) -> tuple[Unanswered, ...]:
    """What still stands in the way of saving the task, in the order of the questions."""
    found = []
    for question in needed(system, proven_restraint=proven_restraint):
        why = _why_open(answers.get(question))
        if why:
            found.append(Unanswered(question, why))
    return tuple(found)


def _why_open(answer: Answered | None) -> str:
    if answer is None or not answer.words.strip():
        return "missing"
    if not in_words(answer.words):
        return "no-answer"
    return "" if answer.by.strip() else "unnamed"


def in_words(text: str) -> bool:
    """At least three words, and not 'n/a' or 'as before' in any of their forms."""
    plain = " ".join(re.findall(r"\w+", text.casefold().replace("/", " ")))
    words = [word for word in plain.split() if any(letter.isalpha() for letter in word)]
    return len(words) >= FEWEST_WORDS and _NO_ANSWER.fullmatch(plain) is None


def taken_over(answer: Answered, by: str, on: date) -> Answered:
    """The answer of last time, used again: it keeps its own day and shows this one beside it."""
    return replace(answer, reused_by=by, reused_on=on)
