"""Numbers an .xlsx shows with zeros in front: the zeros are in the cell's look, not in its number.

A column of serials set to the format 000000 shows 000412 for the number 412. What people see is
what the label says, so such a cell is read as it is shown.
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Mapping
from io import BytesIO
from xml.etree import ElementTree as ET

from register.intake.unreadable import Unreadable

Widths = Mapping[tuple[int, int], int]  # (line from 1, column from 0) -> digits shown

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_REFERENCE = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_ONLY_ZEROS = re.compile(r"0{2,}")
_CELL = re.compile(rb"<c\b([^<>]*)>")
_PLACE = re.compile(rb'\br="([A-Z]{1,3})(\d+)"')
_STYLE = re.compile(rb'\bs="(\d+)"')


class PaddedCells:
    """The formats of one workbook; looks into a sheet only where there is a format of zeros."""

    def __init__(self, content: bytes) -> None:
        self._content = content
        with zipfile.ZipFile(BytesIO(content)) as archive:
            self._digits = _digits_by_style(archive)

    def widths(self, sheet: str) -> Widths:
        """Which cells of the sheet are shown with zeros, and how wide."""
        if not self._digits:
            return {}
        with zipfile.ZipFile(BytesIO(self._content)) as archive:
            part = _parts_by_name(archive).get(sheet, "")
            cells = archive.read(part) if part in archive.namelist() else b""
        return _widths(cells, self._digits)


def _tree(archive: zipfile.ZipFile, name: str) -> ET.Element:
    if name not in archive.namelist():
        return ET.Element("none")
    try:
        return ET.fromstring(archive.read(name))  # noqa: S314 (expat limits entities; size checked)
    except ET.ParseError as error:
        raise Unreadable("damaged") from error


def _digits_by_style(archive: zipfile.ZipFile) -> dict[int, int]:
    styles = _tree(archive, "xl/styles.xml")
    formats = {
        one.get("numFmtId"): len(one.get("formatCode", ""))
        for one in styles.iter(f"{_MAIN}numFmt")
        if _ONLY_ZEROS.fullmatch(one.get("formatCode", ""))
    }
    looks = styles.iterfind(f"{_MAIN}cellXfs/{_MAIN}xf")
    numbered = ((place, formats.get(look.get("numFmtId"))) for place, look in enumerate(looks))
    return {place: digits for place, digits in numbered if digits}


def _parts_by_name(archive: zipfile.ZipFile) -> dict[str, str]:
    """Sheet name -> the part of the archive that holds it."""
    targets = {
        one.get("Id"): one.get("Target", "") for one in _tree(archive, "xl/_rels/workbook.xml.rels")
    }
    return {
        one.get("name", ""): posixpath.join("/xl", targets.get(one.get(_REFERENCE), ""))[1:]
        for one in _tree(archive, "xl/workbook.xml").iter(f"{_MAIN}sheet")
    }


def _widths(cells: bytes, digits: Mapping[int, int]) -> dict[tuple[int, int], int]:
    found = {}
    for cell in _CELL.finditer(cells):
        style, place = _STYLE.search(cell[1]), _PLACE.search(cell[1])
        if style and place and int(style[1]) in digits:
            found[int(place[2]), _column(place[1])] = digits[int(style[1])]
    return found


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - ord("A") + 1
    return number - 1
