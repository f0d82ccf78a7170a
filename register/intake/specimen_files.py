"""The specimen as a file: .xlsx as a firm would have it, or all its sheets as one .csv."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import date
from io import BytesIO, StringIO
from typing import Any

from register.intake.reading import Cell
from register.intake.specimen import Specimen, SpecimenSheet, build_specimen

_TITLES = (
    "HARNESS REGISTER v14 FINAL",
    "Tarn & Wold Access Ltd - equipment for work at height",
    "Do not sort one column on its own!",
    "Red = overdue, green = ok (coloured by hand)",
)


def specimen(day: date, seed: int, rows: int = 600) -> bytes:
    """The .xlsx of `build_specimen`."""
    return specimen_xlsx(build_specimen(day, seed, rows))


def specimen_xlsx(made: Specimen) -> bytes:
    import xlsxwriter

    target = BytesIO()
    with xlsxwriter.Workbook(target, {"constant_memory": True, "in_memory": False}) as book:
        as_day = book.add_format({"num_format": "dd/mm/yyyy"})
        bold = book.add_format({"bold": True})
        for sheet in made.sheets:
            page = book.add_worksheet(sheet.name)
            for line, cells in enumerate(_lines(sheet)):
                _write(page, line, cells, (as_day, bold))
    return target.getvalue()


def _write(page: Any, line: int, cells: tuple[Cell, ...], looks: tuple[Any, Any]) -> None:
    as_day, bold = looks
    if len(cells) == 1:
        page.merge_range(line, 0, line, 7, cells[0], bold)
        return
    for column, cell in enumerate(cells):
        if isinstance(cell, date):
            page.write_datetime(line, column, cell, as_day)
        elif isinstance(cell, int | float):
            page.write_number(line, column, cell)
        elif cell is not None:
            page.write_string(line, column, cell)


def specimen_csv(made: Specimen, delimiter: str = ";", encoding: str = "cp1252") -> bytes:
    """Only the first sheet's headings; a .csv has no sheets, so the site becomes a column."""
    target = StringIO()
    writer = csv.writer(target, delimiter=delimiter, lineterminator="\r\n")
    layout = made.sheets[0].layout
    writer.writerow([*(heading for heading, _ in layout), "Site"])
    for sheet in made.sheets:
        for record in sheet.records:
            if record is not None and len(record) > 1:
                cells = (record.get(field) for _, field in layout)
                writer.writerow([*map(_as_text, cells), sheet.name])
    return target.getvalue().encode(encoding)


def _as_text(cell: Cell) -> str:
    """As a spreadsheet program saves it: large numbers with an exponent, days in its own order."""
    if isinstance(cell, date):
        return f"{cell:%d/%m/%Y}"
    if isinstance(cell, float):
        return f"{cell:.2E}"
    return "" if cell is None else str(cell)


def _lines(sheet: SpecimenSheet) -> Iterator[tuple[Cell, ...]]:
    """Title lines have one cell, all others as many as there are columns."""
    for title in _TITLES[: sheet.titles]:
        yield (title,)
    headings = tuple(heading for heading, _ in sheet.layout)
    yield headings
    for record in sheet.records:
        if record is None:
            yield headings
        else:
            yield tuple(record.get(field) for _, field in sheet.layout)
