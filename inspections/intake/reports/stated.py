"""What one line of a report says, read cell by cell; nothing is matched yet and nothing judged."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from inspections.intake.reports.columns import PARTICULARS
from register.intake.columns import Guess
from register.intake.dates import date_of
from register.intake.reading import Cell, Cells, Sheets
from register.intake.rows import Problem
from register.intake.survey import below, cell_at, names_to_read_by, places
from register.intake.values import Value, serial_of, stated, text_of
from register.rules.lifespan import DateSpan

_MOST = {"examiner": 120, "employer": 120, "number": 60, "defect": 200, "action": 200}
_MOST_TEXT = 250
_FEW = 2  # cells of a line that may be a heading in between, or a total


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """One line. serial: as marked, or why it cannot be believed. was_number: its zeros may be gone.

    problems: what keeps the line from being recorded, each with its column.
    """

    sheet: str
    line: int
    serial: Value[str]
    was_number: bool = False
    tag: str = ""
    product: str = ""
    maker: str = ""
    class_text: str = ""
    performed_on: date | None = None
    next_due_on: date | None = None
    danger_by_on: date | None = None
    verdict: str = ""
    kind: str = ""
    examiner: str = ""
    employer: str = ""
    number: str = ""
    defect: str = ""
    grade: str = ""
    action: str = ""
    remarks: str = ""
    made: DateSpan | None = None
    particulars: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()

    def on_day(self, day: date | None) -> Stated:
        """With the day of the whole report, where the line itself names none."""
        left = tuple(one for one in self.problems if one.code != "day-missing")
        if day is None or len(left) == len(self.problems):
            return self
        return replace(self, performed_on=day, problems=left)

    @property
    def about(self) -> str:
        """Serial and mark as the line states them."""
        serial = self.serial.value or self.serial.fact
        return " · ".join(text for text in (serial, self.tag) if text)


@dataclass(slots=True)
class _Line:
    """The cells of a line by their fields, and what stands against them."""

    cells: Cells
    columns: Mapping[str, int]
    order: str
    problems: list[Problem] = field(default_factory=list)

    def cell(self, slug: str) -> Cell:
        return cell_at(self.cells, self.columns.get(slug))

    def text(self, slug: str) -> str:
        return stated(self.cell(slug))[: _MOST.get(slug, _MOST_TEXT)]

    def day(self, slug: str, *, is_needed: bool = False) -> date | None:
        """A day to the day; 'Mar 2026' is none, and a month is no day to count clocks from."""
        read = date_of(self.cell(slug), self.order)
        if read.problem:
            self.problems.append(Problem(read.problem, slug, {"value": read.fact}))
        elif read.value.precision == "day":
            return read.value.first
        elif read.value.first is not None:
            self.problems.append(Problem("day-rough", slug, {"value": text_of(self.cell(slug))}))
        elif is_needed:
            self.problems.append(Problem("day-missing", slug))
        return None


def lines_of(
    sheets: Sheets, mapping: Mapping[str, Guess], *, order: str, left_out: frozenset[str]
) -> Iterator[Stated]:
    """Every line that says something of an item, in the order of the file."""
    for name in names_to_read_by(sheets, mapping, left_out, ("serial", "tag")):
        found = mapping[name]
        rows = below(sheets.open_sheet(name), found)
        for number, cells in enumerate(rows, start=(found.header_row or 0) + 1):
            read = _Line(cells, places(found), order)
            if not _is_aside(read, found):
                yield _stated((name, number), read, texts_typed=sheets.texts_typed)


def _is_aside(read: _Line, found: Guess) -> bool:
    """Blank, a heading repeated or in between, a total: nothing of an item and no verdict."""
    filled = sum(1 for cell in read.cells if cell is not None)
    serial = read.cell("serial")
    column = read.columns.get("serial")
    heading = found.headings[column].casefold() if column is not None else ""
    if isinstance(serial, str) and serial.strip().casefold() == heading:
        return True
    has_identity = serial is not None or read.cell("tag") is not None
    return not has_identity and (filled <= _FEW or not read.text("verdict"))


def _stated(place: tuple[str, int], read: _Line, *, texts_typed: bool) -> Stated:
    cell = read.cell("serial")
    is_number = isinstance(cell, int | float) and not isinstance(cell, bool)
    serial = serial_of(cell)
    digits_only = not texts_typed and serial.value.isdigit()
    return Stated(
        sheet=place[0],
        line=place[1],
        serial=serial,
        was_number=is_number or digits_only,
        tag=read.text("tag"),
        product=read.text("product"),
        maker=read.text("maker"),
        class_text=read.text("class"),
        performed_on=read.day("performed", is_needed=True),
        next_due_on=read.day("next_due"),
        danger_by_on=read.day("danger_by"),
        verdict=read.text("verdict"),
        kind=read.text("kind"),
        examiner=read.text("examiner"),
        employer=read.text("employer"),
        number=read.text("number"),
        defect=read.text("defect"),
        grade=read.text("grade"),
        action=read.text("action"),
        remarks=read.text("remarks"),
        made=date_of(read.cell("made"), read.order).value,
        particulars={slug: said for slug in PARTICULARS if (said := read.text(slug))},
        problems=tuple(read.problems),
    )
