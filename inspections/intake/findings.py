"""What the preview of a file tells, as plain values: how many of each, and the first thousand lines."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date
from itertools import islice
from typing import Any

from django.utils.translation import gettext as _

from inspections.intake.answers import Answers
from inspections.intake.judged import inspection_of, start_of
from inspections.intake.wording import row_told
from register.intake.fields import FIELDS
from register.intake.plan import DueOf, Plan
from register.intake.rows import DueDifference, Row
from register.rules.classes import CLASSES
from register.rules.conditions import CONDITIONS, Condition
from register.wording import shown_day

MOST_LISTED = 1000  # of each kind; the leftover workbook holds every line that stays out
_CLASSES_ASKED = 40

# Particulars by the field whose name a page shows.
_NAMED_LIKE = {
    "class_slug": "class",
    "first_used_on": "first_used",
    "purchased_on": "purchased",
    "last_inspected_on": "last_inspected",
}


def findings_of(plan: Plan, answers: Answers, *, due_of: DueOf, on: date) -> dict[str, Any]:
    """Counts and lists; a list's rows begin with sheet, line and serial."""
    new, mapping = list(plan.of("new")), answers.mapping
    in_service = [row for row in new if start_of(row)[0] == Condition.IN_SERVICE]
    return {
        "counts": dict(plan.counts),
        "start": _starts(new),
        "asides": len(plan.asides),
        "left_out": list(plan.left_out),
        "may_be_swapped": plan.may_be_swapped,
        "order_used": plan.order_used,
        "due_count": len(plan.differences),
        "classes": _classes_unknown(plan.of("bad")),
        **_doubts(in_service, answers),
        "overdue": sum(1 for row in in_service if _is_over(due_of(row), on)),
        "lists": {
            "bad": _first(
                [*_place(row), row_told(row, mapping[row.sheet])] for row in plan.of("bad")
            ),
            "differs": _first([*_place(row), _names(row)] for row in plan.of("differs")),
            "twice": _first([*_place(row), _first_line(row)] for row in plan.of("twice")),
            "quarantined": _first(_quarantines(new)),
            "dues": _first(map(_due, plan.differences)),
        },
    }


def _first(rows: Iterable[list[Any]]) -> list[list[Any]]:
    return list(islice(rows, MOST_LISTED))


def _place(row: Row) -> list[Any]:
    return [row.sheet, row.line, row.serial]


def _names(row: Row) -> str:
    """The particulars in which the line and the register differ, in words."""
    slugs = (_NAMED_LIKE.get(name, name) for name in row.differs)
    return ", ".join(_(FIELDS[slug].name) for slug in slugs)


def _first_line(row: Row) -> str:
    facts = next(note.facts for note in row.notes if note.code == "twice")
    return f"{facts['other_sheet']}, line {facts['other_line']}"


def _due(one: DueDifference) -> list[Any]:
    typed = shown_day(one.typed.first) if one.typed.first else ""
    return [one.sheet, one.line, one.serial, typed, shown_day(one.computed) if one.computed else ""]


def _starts(rows: Iterable[Row]) -> list[list[Any]]:
    """(condition, its name, how many), in the order of the conditions."""
    found = Counter(start_of(row)[0] for row in rows)
    return [[str(one), name, found[one]] for one, name in CONDITIONS.items() if found[one]]


def _quarantines(rows: Iterable[Row]) -> Iterable[list[Any]]:
    for row in rows:
        condition, reason = start_of(row)
        if condition == Condition.QUARANTINED:
            is_age = reason == "age-not-established"
            why = (
                _("Nobody knows when it was made")
                if is_age
                else _("The workbook does not call it good")
            )
            yield [*_place(row), why]


def _classes_unknown(rows: Iterable[Row]) -> list[str]:
    """Texts that need to be told what kind of equipment they mean."""
    found = {
        str(problem.facts["value"]): None
        for row in rows
        for problem in row.problems
        if problem.code == "class-unknown" and problem.facts["value"]
    }
    return list(found)[:_CLASSES_ASKED]


def _is_over(due: date | None, on: date) -> bool:
    return due is not None and due < on


def _doubts(rows: Iterable[Row], answers: Answers) -> dict[str, int]:
    """How many are not usable because the workbook says too little of inspections."""
    found: Counter[str] = Counter()
    for row in rows:
        told = inspection_of(row, answers.mapping[row.sheet], answers.inspector)
        if told is None:
            found["no_inspection"] += 1
        elif told.not_because:
            found["no_inspector"] += 1
        elif CLASSES[row.class_slug].lifts_persons and told.kind != "thorough-examination":
            found["no_thorough"] += 1
    return {name: found[name] for name in ("no_inspection", "no_inspector", "no_thorough")}
