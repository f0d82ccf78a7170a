"""A first walk through the file for what no single line can tell."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from register.intake.choices import Choices
from register.intake.columns import Guess, guess
from register.intake.dates import DateTally, Order
from register.intake.fields import EQUIPMENT, FIELDS, IGNORED, Vocabulary
from register.intake.keys import ProductKey, product_key
from register.intake.reading import Cell, Cells, Sheet, Sheets
from register.intake.values import stated


@dataclass(frozen=True, slots=True)
class Survey:
    """order: what the dates prove. zero_serials: as in register.intake.known.Known.

    may_be_swapped: see DateTally. lines: how many lines the sheets have that are read.
    """

    order: Order
    may_be_swapped: bool
    zero_serials: Mapping[ProductKey, str]
    lines: int


def guess_sheets(
    sheets: Sheets, remembered: Mapping[str, str] | None = None, book: Vocabulary = EQUIPMENT
) -> dict[str, Guess]:
    """A guess for every sheet, by name; sheets without headings have an empty one."""
    return {sheet.name: guess(sheet.rows(), remembered, book) for sheet in sheets}


def places(mapping: Guess) -> dict[str, int]:
    """Field slug -> column index, without the columns not brought in."""
    return {slug: column for column, slug in mapping.mapping.items() if slug != IGNORED}


def names_to_read(
    sheets: Sheets, mapping: Mapping[str, Guess], left_out: frozenset[str]
) -> list[str]:
    """Sheets whose headings name the serial; a sheet of notes or a chart has none."""
    return names_to_read_by(sheets, mapping, left_out, ("serial",))


def names_to_read_by(
    sheets: Sheets, mapping: Mapping[str, Guess], left_out: frozenset[str], slugs: tuple[str, ...]
) -> list[str]:
    """Sheets whose headings name at least one of these fields."""
    return [
        name
        for name in sheets.names
        if name not in left_out
        and not set(slugs).isdisjoint(mapping.get(name, Guess()).mapping.values())
    ]


def sheets_to_read(
    sheets: Sheets, mapping: Mapping[str, Guess], left_out: frozenset[str]
) -> Iterator[tuple[Sheet, Guess]]:
    for name in names_to_read(sheets, mapping, left_out):
        yield sheets.open_sheet(name), mapping[name]


def survey(sheets: Sheets, mapping: Mapping[str, Guess], choices: Choices) -> Survey:
    """Reads every line once, and keeps counts and one serial a product only."""
    tally = DateTally()
    zeros: dict[ProductKey, str] = {}
    lines = 0
    for sheet, found in sheets_to_read(sheets, mapping, choices.left_out):
        lines += sheet.height
        columns = places(found)
        dates = [column for slug, column in columns.items() if FIELDS[slug].is_date]
        for row in below(sheet, found):
            for column in dates:
                if column < len(row):
                    tally.see(row[column])
            _note_zero(row, columns, zeros, choices.maker)
    return Survey(tally.order, tally.may_be_swapped, zeros, lines)


def below(sheet: Sheet, found: Guess) -> Iterator[Cells]:
    rows = sheet.rows()
    for _ in range(found.header_row or 0):
        next(rows, None)
    return rows


def _note_zero(
    row: Cells, columns: Mapping[str, int], zeros: dict[ProductKey, str], maker: str
) -> None:
    serial = cell_at(row, columns["serial"])
    if not (isinstance(serial, str) and serial.lstrip().startswith("0")):
        return
    product = stated(cell_at(row, columns.get("product")))
    made_by = stated(cell_at(row, columns.get("maker"))) or maker
    key = product_key(made_by, product)
    zeros[key] = max(zeros.get(key, ""), serial.strip(), key=len)


def cell_at(row: Cells, column: int | None) -> Cell:
    """The cell, None where the line is shorter or the field has no column."""
    return row[column] if column is not None and column < len(row) else None
