"""Reads an old .xls in a process of its own, with a bound on memory and time.

Such a file may claim any line and column; the reader then asks for all the memory there is, and a
process that cannot have it dies. Ours asks for the sheets and gets them, or a sentence.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from datetime import date, datetime
from io import BytesIO
from typing import Any

from register.intake.unreadable import Unreadable

MOST_BYTES = 2_000 * 1024 * 1024  # of addresses, the interpreter's own among them
MOST_SECONDS = 60

Grid = list[list[Any]]


def old_sheets(content: bytes) -> dict[str, Grid]:
    """The cells of each sheet by its name; raises Unreadable."""
    command = [sys.executable, "-c", "from register.intake.old_sheets import main; main()"]
    try:
        done = subprocess.run(  # noqa: S603 - our own module, fed by its input
            command, input=content, capture_output=True, timeout=MOST_SECONDS, check=False
        )
    except subprocess.TimeoutExpired as error:
        raise Unreadable("damaged") from error
    if done.returncode:
        raise Unreadable("damaged")
    told = json.loads(done.stdout)
    if "code" in told:
        raise Unreadable(told["code"], told["facts"])
    return {name: [[_cell(one) for one in row] for row in rows] for name, rows in told["sheets"]}


def _cell(told: object) -> object:
    """A day or a moment stands as a list, for JSON knows neither."""
    if isinstance(told, list):
        kind, text = told
        return datetime.fromisoformat(text) if kind == "at" else date.fromisoformat(text)
    return told


def main() -> None:
    """In the other process: sheets in, JSON out."""
    _bound_memory()
    content = sys.stdin.buffer.read()
    try:
        told: dict[str, object] = {"sheets": list(_read(content))}
    except Unreadable as reason:
        told = {"code": reason.code, "facts": dict(reason.facts)}
    sys.stdout.write(json.dumps(told))


def _bound_memory() -> None:
    try:
        import resource
    except ImportError:  # not on Windows: there only the time is bounded
        return
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))


def _read(content: bytes) -> Iterator[tuple[str, Grid]]:
    from python_calamine import CalamineError, PasswordError, SheetTypeEnum, load_workbook

    from register.intake.extent import Extent

    try:
        book = load_workbook(BytesIO(content))
        for sheet in book.sheets_metadata:
            if sheet.typ != SheetTypeEnum.WorkSheet:
                continue
            found = book.get_sheet_by_name(sheet.name)
            Extent(found.total_height, found.total_width).refuse_too_far()
            left = [None] * (found.start[1] if found.start else 0)
            yield sheet.name, [left + [_told(cell) for cell in row] for row in found.iter_rows()]
    except PasswordError as error:
        raise Unreadable("password") from error
    except (CalamineError, MemoryError) as error:
        raise Unreadable("damaged") from error


def _told(cell: object) -> object:
    if isinstance(cell, datetime):
        return ["at", cell.isoformat()]
    if isinstance(cell, date):
        return ["on", cell.isoformat()]
    return cell if isinstance(cell, str | bool | int | float) or cell is None else str(cell)
