"""A list as an XLSX workbook, row by row: xlsxwriter keeps no more than the row it is at."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from typing import IO, TYPE_CHECKING, Any

from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from register.exports.columns import Kind, Table, Value
from register.exports.sizes import LONGEST_CELL, MOST_ROWS, sheet_name, shortened, width_of
from register.refusal import Refusal

if TYPE_CHECKING:
    from xlsxwriter.worksheet import Worksheet

FIRST_YEAR = 1900  # before it the format has no dates
_FORMATS = {Kind.DAY: "yyyy-mm-dd", Kind.MOMENT: "yyyy-mm-dd hh:mm", Kind.CODE: "@"}


def write_xlsx(table: Table, out: IO[bytes]) -> None:
    """The rows under a head that stays in sight, then what is said of them on a sheet of its own."""
    import xlsxwriter

    options = {
        "constant_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    with xlsxwriter.Workbook(out, options) as book:
        head = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
        sheet = book.add_worksheet(sheet_name(table.title))
        _write_rows(sheet, table, head, _formats(book))
        about = book.add_worksheet(sheet_name(pgettext("a sheet", "About")))
        wrapped = book.add_format({"text_wrap": True, "valign": "top"})
        about.set_column(0, 0, 26)
        about.set_column(1, 1, 90)
        for number, (what, said) in enumerate(table.about):
            about.write_string(number, 0, shortened(what), head)
            about.write_string(number, 1, shortened(said), wrapped)


def _formats(book: Any) -> dict[Kind, Any]:
    return {kind: book.add_format({"num_format": form}) for kind, form in _FORMATS.items()}


def _write_rows(sheet: Worksheet, table: Table, head: Any, formats: dict[Kind, Any]) -> None:
    sheet.freeze_panes(1, 0)
    for place, column in enumerate(table.columns):
        sheet.set_column(place, place, width_of(column))
    for place, column in enumerate(table.columns):
        sheet.write_string(0, place, shortened(str(column.title)), head)
    shapes = [formats.get(column.kind) for column in table.columns]
    number = 0
    for number, values in enumerate(table.values(), 1):
        if number > MOST_ROWS:
            raise Refusal("too-many-rows", too_many())
        for place, (value, shape) in enumerate(zip(values, shapes, strict=True)):
            _write_cell(sheet, (number, place), value, shape)
    sheet.autofilter(0, 0, max(number, 1), len(table.columns) - 1)


def too_many() -> str:
    """Why a workbook is not made."""
    said = _("A sheet holds %(most)d rows, and this list has more. Narrow it, or take it as CSV.")
    return said % {"most": MOST_ROWS}


def _write_cell(sheet: Worksheet, at: tuple[int, int], value: Value, shape: Any) -> None:
    """A text is written as text whatever it begins with: nothing in it is ever a formula."""
    if value is None or value == "":
        return
    write: Callable[..., object] = sheet.write_string
    if isinstance(value, bool):
        write = sheet.write_boolean
    elif isinstance(value, date):
        if value.year < FIRST_YEAR:
            value = value.isoformat()
        else:
            write = sheet.write_datetime
            value = _plain(value)
    elif not isinstance(value, str):
        write = sheet.write_number
    if isinstance(value, str):
        value = shortened(value, LONGEST_CELL)
    write(*at, value, shape)


def _plain(value: date) -> date:
    """The format knows no zones; a moment is written as its site's clock shows it, to the second."""
    return value.replace(tzinfo=None, microsecond=0) if isinstance(value, datetime) else value
