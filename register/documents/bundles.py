"""Many files in one ZIP, with a list of their hashes as ``sha256sum -c`` reads it."""

from __future__ import annotations

import hashlib
from io import BytesIO
from tempfile import SpooledTemporaryFile
from typing import IO, cast
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from register.exports.columns import Table
from register.exports.csvs import write_csv

IN_MEMORY = (
    8 * 1024 * 1024
)  # bytes of a bundle; what is larger lies in a file that nobody else sees
HASHES = "SHA256SUMS"
_OLDEST = (1980, 1, 1, 0, 0, 0)  # the same files make the same bundle, whenever it is made


class Bundle:
    """Add files one by one; ``closed`` gives the ZIP open at its beginning."""

    def __init__(self) -> None:
        out = SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115 - handed on, open
        self._out = cast("IO[bytes]", out)
        self._zip = ZipFile(self._out, "w")
        self._hashes: list[str] = []

    def add(self, name: str, content: bytes) -> None:
        """A PDF is packed already: it is stored as it is."""
        info = ZipInfo(name, _OLDEST)
        info.external_attr = 0o644 << 16
        self._zip.writestr(info, content, ZIP_STORED if name.endswith(".pdf") else ZIP_DEFLATED)
        self._hashes.append(f"{hashlib.sha256(content).hexdigest()}  {name}\n")

    def add_table(self, name: str, table: Table) -> None:
        out = BytesIO()
        write_csv(table, out)
        self.add(name, out.getvalue())

    def closed(self) -> IO[bytes]:
        """The hash of each file stands in the last one, but its own."""
        listed = "".join(self._hashes).encode()
        self._zip.writestr(ZipInfo(HASHES, _OLDEST), listed, ZIP_DEFLATED)
        self._zip.close()
        self._out.seek(0)
        return self._out
