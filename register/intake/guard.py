"""Looks at an archive before anything opens it: what it is, how big it gets, how far it reaches.

The reader lays a sheet out as one full rectangle, so that a single cell in the last row and column
would take all the memory there is; hence the look for cells far out.
"""

from __future__ import annotations

import re
import zipfile
import zlib
from collections.abc import Iterator
from io import BytesIO
from typing import Literal

from register.intake.unreadable import Unreadable

MAX_UNPACKED = 500 * 1024 * 1024
MAX_PARTS = 10_000
MAX_ROWS = 300_000
MAX_COLUMNS = 256

_CHUNK = 1024 * 1024
_OVERLAP = 4096
_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"

_DAMAGE = (
    zipfile.BadZipFile,
    zlib.error,
    NotImplementedError,
    RuntimeError,
    EOFError,
    OSError,
    ValueError,
)

Kind = Literal["xlsx", "ods", "xls", "csv"]

# A cell with something in it ('<c r="JX3">', not '<c r="JX3"/>') right of column IV or below
# row 299,999.
_FAR_XLSX = re.compile(
    rb"""<(?:\w+:)?c\b[^>]*?\br=["'](?:(?:[A-Z]{3}|[J-Z][A-Z]|I[W-Z])\d+|[A-Z]+(?:[3-9]\d{5}|\d{7,}))["'][^>]*(?<!/)>"""
)
_WIDE_ODS = re.compile(
    rb"""columns-repeated="\d{4,}"[^>]*(?:(?<!/)>|/>\s*<table:(?:covered-)?table-cell[^>]*value-type)"""
)
_TALL_ODS = re.compile(rb"""rows-repeated="(?:[3-9]\d{5}|\d{7,})\"""")


def kind_of(content: bytes) -> Kind:
    """What the file is by its own bytes; its name may say what it likes."""
    if not content.strip(b"\0\r\n\t "):
        raise Unreadable("empty")
    if content.startswith(_OLE):
        return _old_kind(content)
    if not content.startswith(b"PK"):
        return "csv"
    try:
        with zipfile.ZipFile(BytesIO(content)) as archive:
            return _archive_kind(archive)
    except _DAMAGE as error:
        raise Unreadable("damaged") from error


def _old_kind(content: bytes) -> Kind:
    if "EncryptedPackage".encode("utf-16-le") in content:
        raise Unreadable("password")
    return "xls"


def _archive_kind(archive: zipfile.ZipFile) -> Kind:
    parts = archive.infolist()
    unpacked = sum(part.file_size for part in parts)
    if unpacked > MAX_UNPACKED or len(parts) > MAX_PARTS:
        raise Unreadable("too-big", {"mb": unpacked // 1024 // 1024, "most": MAX_UNPACKED >> 20})
    names = {part.filename for part in parts}
    if any(part.flag_bits & 1 for part in parts):
        raise Unreadable("password")
    _read_through(archive)
    if "xl/workbook.xml" in names:
        _look_far(archive, [name for name in names if name.startswith("xl/worksheets/")])
        return "xlsx"
    if "content.xml" in names:
        return _ods_kind(archive)
    raise Unreadable("not-a-workbook")


def _read_through(archive: zipfile.ZipFile) -> None:
    """Every part that will be read unpacks, to the size and checksum stated for it."""
    for name in archive.namelist():
        if name.endswith((".xml", ".rels")):
            for _ in _pieces(archive, name):
                pass


def _ods_kind(archive: zipfile.ZipFile) -> Kind:
    manifest = "META-INF/manifest.xml"
    if manifest in archive.namelist() and b"encryption-data" in archive.read(manifest):
        raise Unreadable("password")
    tall = False
    for piece in _pieces(archive, "content.xml"):
        if _WIDE_ODS.search(piece):
            raise Unreadable("too-wide", {"most": MAX_COLUMNS})
        tall = _still_tall(piece, already=tall)
    return "ods"


def _still_tall(piece: bytes, *, already: bool) -> bool:
    """Whether a run of very many equal rows lies open; something written in or after it is far."""
    start = 0
    if not already:
        found = _TALL_ODS.search(piece)
        if found is None:
            return False
        start = found.end()
    end = piece.find(b"</table:table>", start)
    if b"value-type" in piece[start : end if end >= 0 else None]:
        raise Unreadable("too-long", {"most": MAX_ROWS})
    return end < 0


def _look_far(archive: zipfile.ZipFile, names: list[str]) -> None:
    for name in sorted(names):
        for piece in _pieces(archive, name):
            if _FAR_XLSX.search(piece):
                raise Unreadable("too-far", {"rows": MAX_ROWS, "columns": MAX_COLUMNS})


def _pieces(archive: zipfile.ZipFile, name: str) -> Iterator[bytes]:
    """The part in pieces that overlap, so that no cell is cut in two; ends at the stated size."""
    tail = b""
    with archive.open(name) as part:
        while chunk := part.read(_CHUNK):
            piece = tail + chunk
            yield piece
            tail = piece[-_OVERLAP:]
