"""The first look at a file of any kind: samples of its columns, and the order of its dates."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inspections.intake.looking import Samples, is_ambiguous
from inspections.intake.ways import Way
from register.intake.columns import Guess
from register.intake.dates import DateTally
from register.intake.reading import Cells, Sheets
from register.intake.survey import below, places
from register.intake.values import text_of

_EXAMPLES = 3


def look_at(way: Way, sheets: Sheets, mapping: Mapping[str, Guess]) -> dict[str, Any]:
    """As plain values, what the questions are made of."""
    tally, examples, shown = DateTally(), [], []
    for sheet in sheets:
        guess = mapping.get(sheet.name, Guess())
        dates = _columns_of_days(way, guess)
        hidden = {column for column, slug in guess.mapping.items() if slug in way.unseen}
        samples, lines = Samples(guess.headings), 0
        rows = below(sheet, guess) if guess.header_row else sheet.rows()
        for lines, cells in enumerate(rows, start=1):  # noqa: B007
            samples.take(_without(cells, hidden))
            for cell in (cells[column] for column in dates if column < len(cells)):
                tally.see(cell)
                if len(examples) < _EXAMPLES and is_ambiguous(cell):
                    examples.append(text_of(cell))
        told = {"header_row": guess.header_row, "headings": list(guess.headings)}
        shown.append({"name": sheet.name, "lines": lines, "samples": samples.texts, **told})
    return {
        "sheets": shown,
        "order": tally.order,
        "may_be_swapped": tally.may_be_swapped,
        "examples": examples,
        "encoding": sheets.encoding,
        "delimiter": sheets.delimiter,
        **way.see(sheets, mapping),
    }


def _without(cells: Cells, hidden: set[int]) -> Cells:
    if not hidden:
        return cells
    return tuple(None if column in hidden else cell for column, cell in enumerate(cells))


def _columns_of_days(way: Way, guess: Guess) -> list[int]:
    """Columns that hold days by their field; of a matrix those whose heading nobody knows as well."""
    known = [column for slug, column in places(guess).items() if way.book.fields[slug].is_date]
    return [*known, *guess.unknown] if way.is_matrix else known
