"""One line of a workbook as the register would take it in, and what stands against it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Literal, NamedTuple

from register.intake.keys import ItemKey, item_key
from register.rules.lifespan import UNKNOWN_SPAN, DateSpan

Outcome = Literal["new", "same", "differs", "twice", "bad"]

# Outcomes in the order a page tells them.
OUTCOMES: tuple[Outcome, ...] = ("new", "same", "differs", "twice", "bad")


@dataclass(frozen=True, slots=True)
class Problem:
    """Something to tell about a line: a code of register.intake.wording, where, and the facts.

    column: slug of the field, '' where it is about the whole line.
    """

    code: str
    column: str = ""
    facts: Mapping[str, str | int] = field(default_factory=dict)


class Particulars(NamedTuple):
    """What is compared between a line and the register, or between two lines of one item."""

    tag: str
    class_slug: str
    size: str
    batch: str
    site: str
    made: DateSpan
    first_used_on: date | None
    purchased_on: date | None
    last_inspected_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A line that holds an item. Texts are '' and spans unknown where the line says nothing.

    problems keep the line out; notes are told and change nothing, or make it start quarantined.
    differs: names of the particulars in which a known item is another in the register.
    """

    sheet: str
    line: int
    serial: str = ""
    tag: str = ""
    product: str = ""
    maker: str = ""
    class_slug: str = ""
    size: str = ""
    made: DateSpan = UNKNOWN_SPAN
    first_used: DateSpan = UNKNOWN_SPAN
    purchased: DateSpan = UNKNOWN_SPAN
    last_inspected: DateSpan = UNKNOWN_SPAN
    typed_due: DateSpan = UNKNOWN_SPAN
    inspector: str = ""
    condition: str = ""
    holder: str = ""
    site: str = ""
    zone: str = ""
    batch: str = ""
    use_class: str = ""
    standard: str = ""
    remarks: str = ""
    max_user_kg: Decimal | None = None
    length_m: Decimal | None = None
    outcome: Outcome = "new"
    problems: tuple[Problem, ...] = ()
    notes: tuple[Problem, ...] = ()
    differs: tuple[str, ...] = ()

    @property
    def key(self) -> ItemKey:
        return item_key(self.maker, self.product, self.serial)

    @property
    def age_not_established(self) -> bool:
        """Then the item is taken in quarantined, until its age is established."""
        return self.made.first is None

    # Rough days count from their first day: life ends and inspections fall due sooner, not later.
    @property
    def first_used_on(self) -> date | None:
        return self.first_used.first

    @property
    def purchased_on(self) -> date | None:
        return self.purchased.first

    @property
    def last_inspected_on(self) -> date | None:
        return self.last_inspected.first

    @property
    def particulars(self) -> Particulars:
        return Particulars(
            self.tag,
            self.class_slug,
            self.size,
            self.batch,
            self.site,
            self.made,
            self.first_used_on,
            self.purchased_on,
            self.last_inspected_on,
        )


class Aside(NamedTuple):
    """A line that holds no item: a heading in between, a total, a remark."""

    sheet: str
    line: int
    text: str


class DueDifference(NamedTuple):
    """A typed due date that is not what the last inspection gives; ours stands."""

    sheet: str
    line: int
    serial: str
    typed: DateSpan
    computed: date | None
