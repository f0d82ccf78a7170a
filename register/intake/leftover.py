"""The lines that stayed out, as a workbook to put right and bring back."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date, datetime
from io import BytesIO
from typing import Any, NamedTuple

from django.utils.translation import gettext as _

from register.intake.columns import Guess
from register.intake.plan import Plan
from register.intake.reading import Cell, Cells, Sheets
from register.intake.rows import Row
from register.intake.survey import below

# Known to register.intake.fields as columns not to bring in.
ADDED = ("Line", "Why it stayed out")

_NOT_IN_NAMES = re.compile(r"[\[\]:*?/\\']")
_LONGEST_NAME = 31
_LONGEST_CELL = 32_767


class LeftOut(NamedTuple):
    """A line that stayed out, why, and its serial where that lost its zeros on the way."""

    sheet: str
    line: int
    why: str
    eaten_serial: int | None = None


def leftover(
    sheets: Sheets, mapping: Mapping[str, Guess], plan: Plan, told: Callable[[Row], str]
) -> bytes:
    """The bad lines of the plan as a workbook; see `lines_left`."""
    reasons = [LeftOut(row.sheet, row.line, told(row), _zeros_lost(row)) for row in plan.of("bad")]
    return lines_left(sheets, mapping, reasons)


def lines_left(sheets: Sheets, mapping: Mapping[str, Guess], lines: Iterable[LeftOut]) -> bytes:
    """An .xlsx with each of the lines in the columns it came in, its line and why it stayed out.

    Brought back, it maps by itself: same headings, same sheet names. Texts are written as texts,
    so that nothing runs as a formula; numbers and days stay what they were, so that a serial that
    was eaten is found again until somebody types what is on the label.
    """
    import xlsxwriter

    bad: dict[str, dict[int, LeftOut]] = {}
    for one in lines:
        bad.setdefault(one.sheet, {})[one.line] = one
    target = BytesIO()
    with xlsxwriter.Workbook(target, {"constant_memory": True}) as book:
        as_day = book.add_format({"num_format": "yyyy-mm-dd"})
        for name, rows in bad.items():
            page = book.add_worksheet(_sheet_name(name, sheets, book))
            page.freeze_panes(1, 0)
            _write_sheet(page, as_day, _lines(sheets, mapping[name], (name, rows)))
        if not bad:
            book.add_worksheet().write_string(0, 0, _("Nothing stayed out"))
    return target.getvalue()


def _sheet_name(name: str, sheets: Sheets, book: Any) -> str:
    """The sheet's own name, for it may be the site; a .csv's is only that of its file."""
    if sheets.kind == "csv":
        return "Sheet1"
    plain = _NOT_IN_NAMES.sub(" ", name)[:_LONGEST_NAME].strip() or "Sheet"
    taken = {page.get_name().casefold() for page in book.worksheets()}
    return plain if plain.casefold() not in taken else f"{plain[:27]} {len(taken)}"


def _lines(sheets: Sheets, found: Guess, wanted: tuple[str, dict[int, LeftOut]]) -> Iterator[Cells]:
    """The headings, then the cells of each wanted line with the two columns added.

    A line that comes back for the second time loses the added columns of the first.
    """
    name, rows = wanted
    kept = [n for n, heading in enumerate(found.headings) if heading not in ADDED]
    yield (*(found.headings[n] for n in kept), *ADDED)
    start = (found.header_row or 0) + 1
    for line, cells in enumerate(below(sheets.open_sheet(name), found), start=start):
        row = rows.get(line)
        if row is not None:
            plain = [cells[n] if n < len(cells) else None for n in kept]
            yield (*_still_doubtful(row, found, kept, plain), line, row.why)


def _still_doubtful(row: LeftOut, found: Guess, kept: list[int], cells: list[Cell]) -> list[Cell]:
    """A .csv knows texts only; a serial without its zeros goes back as the number it became."""
    if row.eaten_serial is not None:
        column = next(n for n, slug in found.mapping.items() if slug == "serial")
        cells[kept.index(column)] = row.eaten_serial
    return cells


def _zeros_lost(row: Row) -> int | None:
    is_lost = any(problem.code == "serial-zeros-lost" for problem in row.problems)
    return int(row.serial) if is_lost else None


def _write_sheet(page: Any, as_day: Any, lines: Iterator[Cells]) -> None:
    for line, cells in enumerate(lines):
        for column, cell in enumerate(cells):
            if isinstance(cell, str):
                page.write_string(line, column, cell[:_LONGEST_CELL])
            elif isinstance(cell, datetime | date):
                page.write_datetime(line, column, cell, as_day)
            elif cell is not None:
                page.write_number(line, column, cell)
