"""A list as CSV (RFC 4180): commas, CRLF, UTF-8, ISO 8601 days and moments, a point in numbers.

Every text stands in quotes and is made neutral; a cell without anything is 'not known'.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from io import TextIOWrapper
from typing import IO

from register.exports.columns import Table, Value
from register.exports.neutral import neutral

BYTE_ORDER_MARK = "\ufeff"  # by it a spreadsheet knows that the letters are UTF-8


def write_csv(table: Table, out: IO[bytes], *, for_programs: bool = False) -> None:
    """Write the rows. For programs: the columns by their names, and no byte order mark."""
    text = TextIOWrapper(out, encoding="utf-8", newline="")
    if not for_programs:
        text.write(BYTE_ORDER_MARK)
    text.write(_line(one.name if for_programs else str(one.title) for one in table.columns))
    for values in table.values():
        text.write(_line(values))
    text.flush()
    text.detach()


def _line(values: Iterable[Value]) -> str:
    return ",".join(_cell(value) for value in values) + "\r\n"


def _cell(value: Value) -> str:
    """A number below zero is a number to a spreadsheet, and nothing to run."""
    if value is None or value == "":
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, datetime):
        return value.isoformat(timespec="seconds")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str):
        return '"' + neutral(value).replace('"', '""') + '"'
    return str(value)
