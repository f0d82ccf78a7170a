"""What bringing in a file would do, line by line, before anything is done."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from register.intake.choices import Choices
from register.intake.columns import Guess
from register.intake.dates import Order
from register.intake.known import NOTHING_KNOWN, Known
from register.intake.lines import Reader, read_line
from register.intake.reading import Sheets
from register.intake.rows import OUTCOMES, Aside, DueDifference, Outcome, Problem, Row
from register.intake.settle import settled
from register.intake.survey import Survey, below, names_to_read, places, sheets_to_read, survey

_TOLD_EVERY = 1000  # lines

DueOf = Callable[[Row], date | None]
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """rows: one for every line with an item, in the order of the file.

    order: what the file's dates prove; order_used: what they were read with, '' where nobody
    knows. may_be_swapped: true dates look as if another program turned day and month round.
    sites: every site named. left_out: sheets without headings, or not wanted.
    """

    rows: tuple[Row, ...]
    asides: tuple[Aside, ...]
    differences: tuple[DueDifference, ...]
    order: Order
    order_used: str
    may_be_swapped: bool
    sites: tuple[str, ...]
    left_out: tuple[str, ...]

    @property
    def counts(self) -> dict[Outcome, int]:
        """How many lines have each outcome, those with none included."""
        found = Counter(row.outcome for row in self.rows)
        return {outcome: found[outcome] for outcome in OUTCOMES}

    @property
    def must_ask_order(self) -> bool:
        """Whether the order of day and month has to be asked before anything goes in."""
        return self.order in {"ambiguous", "mixed"} and not self.order_used

    def of(self, outcome: Outcome) -> Iterator[Row]:
        return (row for row in self.rows if row.outcome == outcome)

    def chunks(self, size: int = 1000) -> Iterator[tuple[Row, ...]]:
        """The rows that go in, so many at a time: a transaction each."""
        rows = tuple(self.of("new"))
        return (rows[start : start + size] for start in range(0, len(rows), size))


@dataclass(slots=True)
class _Read:
    rows: list[Row] = field(default_factory=list)
    asides: list[Aside] = field(default_factory=list)

    def take(self, found: Row | Aside | None) -> None:
        if isinstance(found, Row):
            self.rows.append(found)
        elif found is not None:
            self.asides.append(found)


def plan_rows(
    sheets: Sheets,
    mapping: Mapping[str, Guess],
    choices: Choices,
    known: Known = NOTHING_KNOWN,
    *,
    due_of: DueOf | None = None,
    progress: Progress | None = None,
) -> Plan:
    """Reads the file twice, changes nothing. mapping: a Guess by sheet name.

    due_of: next due day by the register's rules, to compare typed ones with. progress: called
    with lines done and lines in all.
    """
    seen = survey(sheets, mapping, choices)
    order = choices.date_order or _proved(seen.order)
    read = _read_all(_lines(sheets, mapping, (choices, known, seen, order)), seen.lines, progress)
    rows, differences = _with_dues(settled(read.rows, known, choices.confirmed_serials), due_of)
    return Plan(
        rows=rows,
        asides=tuple(read.asides),
        differences=differences,
        order=seen.order,
        order_used=order,
        may_be_swapped=seen.may_be_swapped,
        sites=tuple(sorted({row.site for row in rows if row.site})),
        left_out=_left_out(sheets, mapping, choices),
    )


def _read_all(lines: Iterator[Row | Aside | None], total: int, progress: Progress | None) -> _Read:
    read = _Read()
    for done, found in enumerate(lines, start=1):
        read.take(found)
        if progress is not None and done % _TOLD_EVERY == 0:
            progress(done, total)
    return read


def _proved(order: Order) -> str:
    return order if order in {"day-first", "month-first"} else ""


def _left_out(sheets: Sheets, mapping: Mapping[str, Guess], choices: Choices) -> tuple[str, ...]:
    used = names_to_read(sheets, mapping, choices.left_out)
    return tuple(name for name in sheets.names if name not in used)


def _lines(
    sheets: Sheets,
    mapping: Mapping[str, Guess],
    context: tuple[Choices, Known, Survey, str],
) -> Iterator[Row | Aside | None]:
    choices, known, seen, order = context
    for sheet, found in sheets_to_read(sheets, mapping, choices.left_out):
        reader = Reader(
            sheet=sheet.name,
            columns=places(found),
            headings=found.headings,
            choices=choices,
            known=known,
            survey=seen,
            order=order,
            texts_typed=sheets.texts_typed,
        )
        for line, cells in enumerate(below(sheet, found), start=(found.header_row or 0) + 1):
            yield read_line(reader, line, cells)


def _with_dues(
    rows: list[Row], due_of: DueOf | None
) -> tuple[tuple[Row, ...], tuple[DueDifference, ...]]:
    """The rows with a note where the typed due date is not ours, and those as a list."""
    if due_of is None:
        return tuple(rows), ()
    differences = []
    for place, row in enumerate(rows):
        if row.outcome == "bad" or row.typed_due.first is None or row.typed_due.last is None:
            continue
        ours = due_of(row)
        if ours is not None and row.typed_due.first <= ours <= row.typed_due.last:
            continue
        facts = {"typed": str(row.typed_due.first), "ours": str(ours or "")}
        note = Problem("due-differs", "next_due", facts)
        rows[place] = replace(row, notes=(*row.notes, note))
        differences.append(DueDifference(row.sheet, row.line, row.serial, row.typed_due, ours))
    return tuple(rows), tuple(differences)
