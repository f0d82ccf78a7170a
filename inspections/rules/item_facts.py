"""What the clocks of one item are counted from: its own dates and the inspections in force."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from inspections.rules.kinds import satisfies

PASSES = frozenset({"pass", "pass-with-conditions"})


@dataclass(frozen=True, slots=True, kw_only=True)
class InspectionFact:
    """One inspection in force (not superseded).

    counts: the inspector was authorised for class and kind that day and independent. valid_until_on:
    an earlier last day than the interval gives, as written on the report. danger_by: for each
    defect that could become a danger, the day by which. covers_periodic: the report says that the
    maker's periodic examination procedure was followed. restricted_to: the only use it passed for.
    """

    kind: str
    performed_on: date
    verdict: str
    counts: bool
    valid_until_on: date | None = None
    danger_by: tuple[date, ...] = ()
    covers_periodic: bool = False
    restricted_to: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemFacts:
    """What the clocks of one item need; months are whole calendar months, None where not stated.

    made_on is the first day of the made date's span. accepted_on is the first acceptance into
    service. own_months is the employer's own periodic interval for this item. fixed_on is the day
    on which installed equipment was put up where it is now; proof_test_months the time between its
    proof tests, as its base material asks.
    """

    class_slug: str
    use_class: str
    made_on: date | None = None
    first_used_on: date | None = None
    accepted_on: date | None = None
    periodic_months: int | None = None
    own_months: int | None = None
    service_months: int | None = None
    life_from_made_months: int | None = None
    life_from_first_use_months: int | None = None
    storage_months: int | None = None
    fixed_on: date | None = None
    proof_test_months: int | None = None
    hire_end_on: date | None = None
    notice_deadlines: tuple[date, ...] = ()
    inspections: tuple[InspectionFact, ...] = ()


def has_passed(one: InspectionFact, kind: str) -> bool:
    """Whether the inspection counts as a pass of the kind, or of one that stands in for it."""
    passed = one.counts and one.verdict in PASSES
    return passed and satisfies(one.kind, kind, covers_periodic=one.covers_periodic)
