"""How long a list takes as each kind of file, and how much memory: python tests/bench/bench_exports.py

20,000 and 100,000 rows of 12 columns; ODS once by ourselves and once by odfpy.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import IO

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "register.conf.settings")
os.environ.setdefault("DATA_DIR", tempfile.mkdtemp())

import django

django.setup()

from register.exports import columns  # noqa: E402
from register.exports.columns import Table  # noqa: E402
from register.exports.csvs import write_csv  # noqa: E402
from register.exports.ods import write_ods  # noqa: E402
from register.exports.xlsx import write_xlsx  # noqa: E402

COLUMNS = (
    *(columns.text(f"text_{n}", f"Text {n}", lambda row: f"Harness {row}") for n in range(6)),
    *(columns.code(f"code_{n}", f"Code {n}", lambda row: f"{row:07}") for n in range(2)),
    *(columns.day(f"day_{n}", f"Day {n}", lambda _row: date(2026, 3, 9)) for n in range(2)),
    columns.number("number", "Number", lambda row: row),
    columns.yes_no("yes", "Yes", lambda row: row % 2 == 0),
)


def table(rows: int) -> Table:
    return Table("Bench", COLUMNS, range(rows), [("List", "Bench")])


def write_by_odfpy(found: Table, out: IO[bytes]) -> None:
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import Table as Sheet
    from odf.table import TableCell, TableRow
    from odf.text import P

    book = OpenDocumentSpreadsheet()
    sheet = Sheet(name=found.title)
    for values in found.values():
        row = TableRow()
        for value in values:
            cell = TableCell(valuetype="string")
            cell.addElement(P(text=str(value)))
            row.addElement(cell)
        sheet.addElement(row)
    book.spreadsheet.addElement(sheet)
    book.write(out)


def told(name: str, rows: int, write: Callable[[Table, IO[bytes]], None]) -> str:
    """Seconds without, and the most memory with, Python's own count of memory."""
    with tempfile.TemporaryFile() as out:
        begun = time.monotonic()
        write(table(rows), out)
        took, size = time.monotonic() - begun, out.tell() or out.seek(0, 2)
    tracemalloc.start()
    with tempfile.TemporaryFile() as out:
        write(table(rows), out)
    most = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    return f"{name:<14}{rows:>8} rows {took:>7.1f} s {most:>8.1f} MB at most {size / 1e6:>7.1f} MB file"


def runs() -> Iterator[str]:
    for rows in (20_000, 100_000):
        yield told("CSV", rows, write_csv)
        yield told("XLSX", rows, write_xlsx)
        yield told("ODS", rows, write_ods)
    yield told("ODS by odfpy", 2_000, write_by_odfpy)
    yield told("ODS by odfpy", 20_000, write_by_odfpy)


if __name__ == "__main__":
    for line in runs():
        print(line, flush=True)  # noqa: T201
