"""A list as an ODS workbook, streamed: OpenDocument 1.2 (ISO/IEC 26300), written by ourselves.

odfpy builds the whole document in memory first; ``tests/bench/bench_exports.py`` measures both. The
tests read what is written here with odfpy, calamine and, where it is there, LibreOffice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from typing import IO
from xml.sax.saxutils import escape, quoteattr
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile

from django.utils.translation import pgettext

from register.exports.columns import Table, Value
from register.exports.ods_parts import CONTENT_HEAD, MANIFEST, MIMETYPE, STYLES, settings_of
from register.exports.sizes import MOST_ROWS, sheet_name, shortened, width_of
from register.exports.xlsx import too_many
from register.refusal import Refusal

_LOT = 500  # rows joined before they are written


def write_ods(table: Table, out: IO[bytes]) -> None:
    """The rows under a head that stays in sight, then what is said of them on a sheet of its own."""
    names = (sheet_name(table.title), sheet_name(pgettext("a sheet", "About")))
    with ZipFile(out, "w", ZIP_DEFLATED) as file:
        file.writestr("mimetype", MIMETYPE, compress_type=ZIP_STORED)
        file.writestr("META-INF/manifest.xml", MANIFEST)
        file.writestr("styles.xml", STYLES)
        file.writestr("settings.xml", settings_of(names[0]))
        with file.open("content.xml", "w", force_zip64=True) as content:
            for lot in _content(table, names):
                content.write(lot.encode())


def _content(table: Table, names: tuple[str, str]) -> Iterator[str]:
    widths = sorted({width_of(column) for column in table.columns} | {26, 90})
    yield CONTENT_HEAD.replace("<!--widths-->", "".join(_width_style(width) for width in widths))
    yield _table_head(names[0], [width_of(column) for column in table.columns])
    heads = "".join(_text(str(column.title), "head") for column in table.columns)
    yield f"<table:table-header-rows><table:table-row>{heads}</table:table-row></table:table-header-rows>"
    yield from _rows(table)
    yield "</table:table>" + _table_head(names[1], [26, 90])
    for what, said in table.about:
        yield f"<table:table-row>{_text(what, 'head')}{_text(said, 'said')}</table:table-row>"
    yield "</table:table></office:spreadsheet></office:body></office:document-content>"


def _rows(table: Table) -> Iterator[str]:
    lot: list[str] = []
    for number, values in enumerate(table.values(), 1):
        if number > MOST_ROWS:
            raise Refusal("too-many-rows", too_many())
        lot.append(f"<table:table-row>{''.join(map(_cell, values))}</table:table-row>")
        if len(lot) == _LOT:
            yield "".join(lot)
            lot.clear()
    yield "".join(lot)


def _cell(value: Value) -> str:
    """A text is a cell of type string whatever it begins with: nothing in it is ever a formula."""
    if value is None or value == "":
        return "<table:table-cell/>"
    if isinstance(value, str):
        return _text(value)
    kind, name, said, style = _typed(value)
    styled = f' table:style-name="{style}"' if style else ""
    return f'<table:table-cell office:value-type="{kind}" office:{name}="{said}"{styled}/>'


def _typed(value: object) -> tuple[str, str, str, str]:
    """Its type, the attribute that holds it, what stands there, and the style that shows it."""
    if isinstance(value, bool):
        return "boolean", "boolean-value", "true" if value else "false", ""
    if isinstance(value, datetime):
        said = value.replace(tzinfo=None).isoformat(timespec="seconds")
        return "date", "date-value", said, "moment"
    if isinstance(value, date):
        return "date", "date-value", value.isoformat(), "day"
    return "float", "value", str(value), ""


def _text(text: str, style: str = "") -> str:
    styled = f" table:style-name={quoteattr(style)}" if style else ""
    lines = "".join(f"<text:p>{_spaced(line)}</text:p>" for line in _lines(text))
    return f'<table:table-cell office:value-type="string"{styled}>{lines}</table:table-cell>'


def _lines(text: str) -> list[str]:
    return shortened(text).replace("\r\n", "\n").replace("\r", "\n").split("\n")


def _spaced(line: str) -> str:
    """ODF drops spaces at an end and doubled ones, unless they are told as such (part 1, 6.1.2).

    A tab becomes a space: readers lose the element that ODF has for it.
    """
    said = escape(line).replace("\t", " ").replace("  ", " <text:s/>")
    said = f"<text:s/>{said[1:]}" if said.startswith(" ") else said
    return f"{said[:-1]}<text:s/>" if said.endswith(" ") else said


def _table_head(name: str, widths: Sequence[int]) -> str:
    columns = "".join(f'<table:table-column table:style-name="w{width}"/>' for width in widths)
    return f"<table:table table:name={quoteattr(name)}>{columns}"


def _width_style(width: int) -> str:
    return (
        f'<style:style style:name="w{width}" style:family="table-column">'
        f'<style:table-column-properties style:column-width="{width * 0.2:.1f}cm"/></style:style>'
    )
