"""How a line of a workbook starts out in the register: its condition, and what its inspection is worth.

In doubt an item is not usable: bad news in a line is believed, good news only where it is complete.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from inspections.rules.clocks import clocks, governing
from inspections.rules.item_facts import InspectionFact, ItemFacts
from inspections.rules.schemes import Scheme
from register.intake.columns import Guess
from register.intake.rows import Row
from register.rules.classes import CLASSES
from register.rules.conditions import Condition

# Where a workbook says that its inspections of lifting equipment are the statutory ones.
_THOROUGH = re.compile(r"\b(thorough|te|loler)\b", re.IGNORECASE)
_PERIODIC = re.compile(r"\b(periodic|detailed|en ?365)\b", re.IGNORECASE)
_GOOD = frozenset({"", Condition.IN_SERVICE})
_BAD = frozenset({Condition.WITHDRAWN, Condition.DESTROYED})


@dataclass(frozen=True, slots=True)
class Told:
    """The last inspection as the line tells it; not_because is '' where it moves the clocks."""

    kind: str
    verdict: str
    performed_on: date
    inspector: str
    not_because: str = ""
    covers_periodic: bool = False


def start_of(row: Row) -> tuple[Condition, str]:
    """The condition an item starts in, and the reason where that is quarantine.

    No word for the condition is taken as in service: the clocks still ask for an inspection.
    """
    stated = Condition(row.condition or Condition.IN_SERVICE)
    if row.age_not_established and stated in {Condition.IN_SERVICE, Condition.QUARANTINED}:
        return Condition.QUARANTINED, "age-not-established"
    if stated == Condition.QUARANTINED:
        return stated, "returned-unsure"
    return stated, ""


def inspection_of(row: Row, found: Guess, inspector: str) -> Told | None:
    """The inspection of a line. ``inspector`` is who answers for lines that name nobody.

    What lifts persons needs a thorough examination, which only the heading or the remarks can
    say it was; a line that says nothing of it has had a periodic one.
    """
    if row.last_inspected_on is None:
        return None
    said = f"{_heading(found)} {row.remarks}"
    by = row.inspector or inspector
    is_thorough = CLASSES[row.class_slug].lifts_persons and bool(_THOROUGH.search(said))
    return Told(
        kind="thorough-examination" if is_thorough else "detailed",
        verdict="fail" if row.condition in _BAD else "pass",
        performed_on=row.last_inspected_on,
        inspector=by,
        not_because=_why_not(row, by),
        covers_periodic=is_thorough and bool(_PERIODIC.search(said)),
    )


def _heading(found: Guess) -> str:
    columns = (n for n, slug in found.mapping.items() if slug == "last_inspected")
    return " ".join(found.headings[n] for n in columns if n < len(found.headings))


def _why_not(row: Row, by: str) -> str:
    if row.condition not in _GOOD:
        return "not-in-service"
    if not by:
        return "no-inspector"
    return "holds-the-item" if by == row.holder else ""


def due_reader(
    mapping: Mapping[str, Guess], inspector: str, schemes: Sequence[Scheme]
) -> Callable[[Row], date | None]:
    """Gives the last good day of a line by the register's own rules, None where none can be said."""

    def due_of(row: Row) -> date | None:
        told = inspection_of(row, mapping[row.sheet], inspector)
        facts = ItemFacts(
            class_slug=row.class_slug,
            use_class=row.use_class or "normal",
            made_on=row.made.first,
            first_used_on=row.first_used_on,
            inspections=(fact_told(told),) if told else (),
        )
        return governing(clocks(facts, schemes)).last_day

    return due_of


def fact_told(told: Told) -> InspectionFact:
    """The inspection as the rules on clocks take it."""
    return InspectionFact(
        kind=told.kind,
        performed_on=told.performed_on,
        verdict=told.verdict,
        counts=not told.not_because,
        covers_periodic=told.covers_periodic,
    )
