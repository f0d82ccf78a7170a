"""Looks at an archive before anything opens it: what it is, how big it gets, how far it reaches.

The reader lays a sheet out as one full rectangle, so that two cells far apart in a file of five
kilobytes would take all the memory there is; hence the count of `register.intake.extent`.
"""

from __future__ import annotations

import zipfile
import zlib
from collections.abc import Iterator
from io import BytesIO
from typing import Literal

from register.intake.extent import (
    MAX_COLUMNS,
    MAX_ROWS,
    Extent,
    count_repeated,
    count_unplaced,
    has_unplaced,
    places_of,
)
from register.intake.unreadable import Unreadable

MAX_UNPACKED = 500 * 1024 * 1024
MAX_PARTS = 10_000
MAX_FRAME = 50 * 1024 * 1024  # of a part that is read as a whole: styles, names of sheets

_CHUNK = 1024 * 1024
_OVERLAP = 4096
_FRAMES = frozenset({"xl/styles.xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels"})
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
        _look_far(archive)
        return "xlsx"
    if "content.xml" in names:
        return _ods_kind(archive)
    raise Unreadable("not-a-workbook")


def _read_through(archive: zipfile.ZipFile) -> None:
    """Every part unpacks, to the size and checksum stated for it: any may turn out to be a sheet."""
    for part in archive.infolist():
        if part.filename in _FRAMES and part.file_size > MAX_FRAME:
            raise Unreadable("too-big", {"mb": part.file_size >> 20, "most": MAX_FRAME >> 20})
        for _ in _pieces(archive, part.filename):
            pass


def _ods_kind(archive: zipfile.ZipFile) -> Kind:
    manifest = "META-INF/manifest.xml"
    if manifest in archive.namelist() and b"encryption-data" in archive.read(manifest):
        raise Unreadable("password")
    count_repeated(_chunks(archive, "content.xml"))
    return "ods"


def _look_far(archive: zipfile.ZipFile) -> None:
    """Each part for itself, for any may be named as a sheet; the place of cells far out is told."""
    for name in sorted(archive.namelist()):
        extent, is_unplaced = Extent(), False
        for piece in _pieces(archive, name):
            places_of(piece, extent)
            is_unplaced = is_unplaced or has_unplaced(piece)
            if extent.columns > MAX_COLUMNS or extent.rows > MAX_ROWS:
                raise Unreadable("too-far", {"rows": MAX_ROWS, "columns": MAX_COLUMNS})
            extent.refuse_too_far()
        if is_unplaced:
            count_unplaced(_chunks(archive, name))


def _chunks(archive: zipfile.ZipFile, name: str) -> Iterator[bytes]:
    with archive.open(name) as part:
        while chunk := part.read(_CHUNK):
            yield chunk


def _pieces(archive: zipfile.ZipFile, name: str) -> Iterator[bytes]:
    """The part in pieces that overlap, so that no cell is cut in two; ends at the stated size."""
    tail = b""
    for chunk in _chunks(archive, name):
        piece = tail + chunk
        yield piece
        tail = piece[-_OVERLAP:]
