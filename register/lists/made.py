"""A list made into a file: the writer by its ending, and the sheet that says what the file is."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import IO, Any

from django.utils.translation import gettext as _

from register.exports.columns import Column, Kind, Table
from register.exports.csvs import write_csv
from register.exports.ods import write_ods
from register.exports.xlsx import write_xlsx
from register.lists.listing import Asked, Listing


@dataclass(frozen=True, slots=True)
class Form:
    """One form in which a list is taken away."""

    ending: str
    content_type: str
    write: Callable[[Table, IO[bytes]], None]


CSV_TYPE = "text/csv; charset=utf-8"
FORMS = {
    "xlsx": Form(
        "xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", write_xlsx
    ),
    "ods": Form("ods", "application/vnd.oasis.opendocument.spreadsheet", write_ods),
    "csv": Form("csv", CSV_TYPE, write_csv),
    "csv-plain": Form("csv", CSV_TYPE, partial(write_csv, for_programs=True)),
}
USUAL = "xlsx"


def file_of(
    listing: Listing,
    asked: Asked,
    form: Form,
    at: datetime,
    step: Callable[[int], None] | None = None,
) -> IO[bytes]:
    """The file, open at its beginning; it lies on the disk, however long it is, and goes with its handle."""
    rows = _counted(asked.rows, step) if step else asked.rows
    table = Table(str(listing.title), listing.columns, rows, about(listing, asked, at))
    file = tempfile.TemporaryFile()  # noqa: SIM115 - whoever sends it closes it
    try:
        form.write(table, file)
    except BaseException:
        file.close()
        raise
    file.seek(0)
    return file


def name_of(listing: Listing, form: Form, at: datetime) -> str:
    """'equipment-2026-03-09.xlsx'."""
    return f"{listing.name}-{at:%Y-%m-%d}.{form.ending}"


def about(listing: Listing, asked: Asked, at: datetime) -> list[tuple[str, str]]:
    """What the list is, how it was chosen, when it was true, what to be careful of, its columns."""
    chosen = "; ".join(f"{what}: {said}" for what, said in asked.filters)
    made = f"{at:%Y-%m-%d %H:%M} UTC"
    return [
        (_("List"), str(listing.title)),
        (_("Chosen by"), chosen or _("nothing: every row its reader may see")),
        (_("Rows"), str(asked.count)),
        (_("Made at"), made),
        (_("As known at"), made + ". " + _("Nothing that was recorded later is in it.")),
        *((_("Caution"), str(said)) for said in (*listing.cautions, grows_old())),
        *(
            (_("Column: %(title)s") % {"title": one.title}, column_words(one))
            for one in listing.columns
        ),
    ]


def grows_old() -> str:
    """What is true of every copy."""
    return _(
        "A copy grows old from the moment it is made. Before equipment is used, look at the tag’s page"
        " and at the thing itself."
    )


def column_words(column: Column) -> str:
    """'day (in_date_through). The last good day.'"""
    note = f" {column.note}" if column.note else ""
    return f"{kind_words(column.kind)} ({column.name}).{note}"


def kind_words(kind: Kind) -> str:
    """What kind of value a column holds."""
    return {
        Kind.TEXT: _("text"),
        Kind.CODE: _("text, zeros at its front count"),
        Kind.NUMBER: _("number"),
        Kind.DAY: _("day, as on the site"),
        Kind.MOMENT: _("moment, by the clock of its site"),
        Kind.YES_NO: _("yes or no"),
    }[kind]


def _counted(rows: Iterable[Any], step: Callable[[int], None]) -> Iterator[Any]:
    for number, row in enumerate(rows, 1):
        if number % 200 == 0:
            step(number)
        yield row
