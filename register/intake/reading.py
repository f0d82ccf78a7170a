"""From the bytes of a file to sheets of raw cells."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from io import BytesIO

from python_calamine import (
    CalamineError,
    CalamineWorkbook,
    PasswordError,
    SheetTypeEnum,
    load_workbook,
)

from register.intake.csvs import csv_rows, decoded, delimiter_of
from register.intake.extent import MAX_COLUMNS, MAX_ROWS, Extent
from register.intake.guard import Kind, kind_of
from register.intake.old_sheets import old_sheets
from register.intake.padded import PaddedCells, Widths
from register.intake.unreadable import Unreadable

Cell = str | float | int | date | datetime | None
Cells = tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet; `rows()` starts again at line 1 each time, blank lines included."""

    name: str
    height: int
    rows: Callable[[], Iterator[Cells]]


@dataclass(frozen=True, slots=True)
class Sheets:
    """A file that can be gone through more than once.

    texts_typed: a number and a text are two things in it (not so in a .csv, where '412' may be
    what is left of '000412'). encoding, delimiter: of a .csv, for the page to show; else ''.
    """

    kind: Kind
    names: tuple[str, ...]
    open_sheet: Callable[[str], Sheet]
    texts_typed: bool = True
    encoding: str = ""
    delimiter: str = ""

    def __iter__(self) -> Iterator[Sheet]:
        return (self.open_sheet(name) for name in self.names)


def read(content: bytes, filename: str, encoding: str = "") -> Sheets:
    """The sheets of a workbook or .csv; `encoding` only where somebody corrected our reading.

    Raises Unreadable with a code and facts when the file as a whole is no use.
    """
    kind = kind_of(content)
    if kind == "csv":
        return _csv_sheets(content, filename, encoding)
    return _old_sheets(content) if kind == "xls" else _workbook_sheets(content, kind)


def _csv_sheets(content: bytes, filename: str, encoding: str) -> Sheets:
    text, found = decoded(content, encoding)
    delimiter = delimiter_of(text)
    name = filename.replace("\\", "/").rsplit("/", 1)[-1].rsplit(".", 1)[0] or "Sheet1"
    height = text.count("\n") + 1
    if height > MAX_ROWS:
        raise Unreadable("too-long", {"most": MAX_ROWS})

    def rows() -> Iterator[Cells]:
        line = 0
        try:
            for line, row in enumerate(csv_rows(text, delimiter), start=1):
                yield _csv_line(line, row)
        except csv.Error as error:
            raise Unreadable("csv-broken", {"line": line + 1}) from error

    def open_sheet(name: str) -> Sheet:
        return Sheet(name, height, rows)

    return Sheets("csv", (name,), open_sheet, False, found, delimiter)


def _csv_line(line: int, row: list[str]) -> Cells:
    if line > MAX_ROWS:
        raise Unreadable("too-long", {"most": MAX_ROWS})
    cells = tuple(cell if cell and not cell.isspace() else None for cell in row)
    if any(cell is not None for cell in cells[MAX_COLUMNS:]):
        raise Unreadable("too-wide", {"most": MAX_COLUMNS})
    return cells[:MAX_COLUMNS]


def _old_sheets(content: bytes) -> Sheets:
    grids = old_sheets(content)
    if not grids:
        raise Unreadable("empty")

    def open_sheet(name: str) -> Sheet:
        grid = grids[name]
        return Sheet(name, len(grid), lambda: (tuple(map(_plain, row)) for row in grid))

    return Sheets("xls", tuple(grids), open_sheet)


def _workbook_sheets(content: bytes, kind: Kind) -> Sheets:
    try:
        book = load_workbook(BytesIO(content))
    except PasswordError as error:
        raise Unreadable("password") from error
    except CalamineError as error:
        raise Unreadable("damaged") from error
    names = tuple(
        sheet.name for sheet in book.sheets_metadata if sheet.typ == SheetTypeEnum.WorkSheet
    )
    if not names:
        raise Unreadable("empty")
    padded = PaddedCells(content) if kind == "xlsx" else None
    return Sheets(
        kind, names, lambda name: _sheet(book, name, padded.widths(name) if padded else {})
    )


def _sheet(book: CalamineWorkbook, name: str, widths: Widths) -> Sheet:
    try:
        found = book.get_sheet_by_name(name)
    except CalamineError as error:
        raise Unreadable("sheet-damaged", {"sheet": name}) from error
    Extent(found.total_height, found.total_width).refuse_too_far()
    # Columns left of the first cell are not handed out; without them letters would be wrong.
    left = (None,) * (found.start[1] if found.start else 0)

    def rows() -> Iterator[Cells]:
        for line, row in enumerate(found.iter_rows(), start=1):
            cells = left + tuple(map(_plain, row))
            yield _as_shown(cells, line, widths) if widths else cells

    return Sheet(name, found.total_height, rows)


def _as_shown(cells: Cells, line: int, widths: Widths) -> Cells:
    """The line with the zeros its number formats put in front."""
    return tuple(
        f"{int(cell):0{widths[line, column]}d}"
        if (line, column) in widths and isinstance(cell, int | float) and cell == int(cell)
        else cell
        for column, cell in enumerate(cells)
    )


def _plain(cell: object) -> Cell:
    if cell is None:
        return None
    if isinstance(cell, str):
        return cell if cell and not cell.isspace() else None
    if isinstance(cell, bool):
        return "TRUE" if cell else "FALSE"
    if isinstance(cell, int | float | date):
        return cell
    return str(cell)
