"""Reading an archive: is it whole, unchanged, of this version? Then its rows, each with its place in its file."""

from __future__ import annotations

import csv
import json
import sys
import zlib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from io import TextIOWrapper
from pathlib import Path
from typing import IO, Any
from zipfile import BadZipFile, ZipFile

from register.archive import described
from register.archive.tables import Table
from register.refusal import Refusal

BLOCK = 1 << 20


class Damaged(Refusal):
    """The archive is not whole, was altered, or is no archive of this version."""

    def __init__(self, sentence: str) -> None:
        super().__init__("archive-refused", sentence)


@dataclass(frozen=True, slots=True)
class Row:
    """A row as text, and where it begins: for a sentence that says what is wrong with it."""

    table: Table
    line: int
    cells: list[str]

    def wrong(self, why: str, column: str = "") -> Damaged:
        at = f", column {column}" if column else ""
        return Damaged(f"{self.table.file}, line {self.line}{at}: {why}.")


class Source:
    """An archive opened for reading; every part is checked against the manifest before it is used."""

    def __init__(self, path: Path, tables: Sequence[Table]) -> None:
        self.tables = tables
        self.path = path
        self.zip = _opened(path)
        try:
            self.manifest = self._manifest()
            self._refuse_another()
            self._refuse_incomplete()
        except BaseException:
            self.zip.close()
            raise

    def close(self) -> None:
        self.zip.close()

    def check(self, name: str) -> None:
        """Read a part to its end; refuse it where its bytes are not those the manifest tells."""
        told = self.manifest["parts"][name]
        digest, size = sha256(), 0
        with self.part(name) as source:
            while block := source.read(BLOCK):
                digest.update(block)
                size += len(block)
        if [size, digest.hexdigest()] != [told["bytes"], told["sha256"]]:
            raise Damaged(
                f"{name}: its content is not what the manifest says; it was altered or damaged."
            )

    def rows(self, table: Table) -> Iterator[Row]:
        """Each row; the head must name the table's columns in their order."""
        with self.part(table.file) as source, _cells_of_any_length():
            lines = csv.reader(TextIOWrapper(source, encoding="utf-8", newline=""), strict=True)
            try:
                yield from self._rows(table, lines)
            except (csv.Error, UnicodeDecodeError) as error:
                raise Damaged(f"{table.file}, after line {lines.line_num}: {error}.") from error

    def _rows(self, table: Table, lines: Any) -> Iterator[Row]:
        names = [column.name for column in table.columns]
        head = next(lines, None)
        if head != names:
            raise Damaged(f"{table.file}, line 1: the columns {', '.join(names)} are expected.")
        begins, number = lines.line_num + 1, 0
        for cells in lines:
            row = Row(table, begins, cells)
            if len(cells) != len(names):
                raise row.wrong(f"it has {len(cells)} cells, and {len(names)} are expected")
            yield row
            begins, number = lines.line_num + 1, number + 1
        told = self.manifest["parts"][table.file].get("rows")
        if number != told:
            raise Damaged(f"{table.file}: it has {number} rows, and the manifest says {told}.")

    def files(self) -> dict[str, tuple[int, str]]:
        """By path, the size and the hash of each file."""
        with self.part(described.FILES) as source:
            lines = csv.reader(TextIOWrapper(source, encoding="utf-8", newline=""))
            next(lines, None)
            return {path: (int(size), told) for path, size, told in lines}

    @contextmanager
    def part(self, name: str) -> Iterator[IO[bytes]]:
        """A part, open; what its zip cannot give back is told with its name."""
        try:
            with self.zip.open(name) as source:
                yield source
        except (BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError) as error:
            raise Damaged(f"{name}: it cannot be unpacked ({error}).") from error

    def _manifest(self) -> dict[str, Any]:
        if described.MANIFEST not in self.zip.namelist():
            raise Damaged(
                f"{self.path.name} has no {described.MANIFEST}: it is no archive, or not whole."
            )
        with self.part(described.MANIFEST) as source:
            try:
                found: dict[str, Any] = json.loads(source.read())
            except ValueError as error:
                raise Damaged(f"{described.MANIFEST}: {error}.") from error
        if not isinstance(found, dict) or found.get("format") != described.FORMAT:
            raise Damaged(f"{described.MANIFEST} is not that of an archive of a register.")
        return found

    def _refuse_another(self) -> None:
        if self.manifest.get("version") != described.VERSION:
            raise Damaged(
                f"This archive is of version {self.manifest.get('version')} of the format, and this"
                f" program reads version {described.VERSION}. Bring it in with the program that made"
                " it, bring that up to date, and take the register out again."
            )
        if self.manifest.get("schema") != described.schema_mark(self.tables):
            raise Damaged(
                "The tables of this archive are those of another version of the program:"
                f" {self._difference()}. Bring it in with the version that made it, bring that up to"
                " date, and take the register out again."
            )

    def _difference(self) -> str:
        """The first table or column by which they differ."""
        with self.part(described.METADATA) as source:
            said = json.loads(source.read())
        theirs = {
            one["url"]: [each["name"] for each in one["tableSchema"]["columns"]]
            for one in said["tables"]
        }
        ours = {one.file: [column.name for column in one.columns] for one in self.tables}
        for file in sorted(theirs.keys() | ours.keys()):
            if file not in ours or file not in theirs:
                return f"{file} is only {'in the archive' if file in theirs else 'in this program'}"
            if other := set(theirs[file]) ^ set(ours[file]):
                name = min(other)
                where = "in the archive" if name in theirs[file] else "in this program"
                return f"{file}, column {name} is only {where}"
        return "what their columns hold"

    def _refuse_incomplete(self) -> None:
        there, told = self.zip.namelist(), set(self.manifest["parts"])
        if len(there) != len(set(there)):
            raise Damaged(f"{self.path.name} holds two parts of one name.")
        needed = {table.file for table in self.tables} | {described.FILES, described.METADATA}
        if missing := sorted((needed | told) - set(there)) or sorted(needed - told):
            raise Damaged(f"{missing[0]} is missing: the archive is not whole.")
        own = told | {described.MANIFEST} | set(self.files())
        if missing := sorted(own - set(there)):
            raise Damaged(f"{missing[0]} is missing: the archive is not whole.")
        if extra := sorted(set(there) - own):
            raise Damaged(f"{extra[0]} does not belong to the archive.")


def _opened(path: Path) -> ZipFile:
    try:
        return ZipFile(path)
    except FileNotFoundError as error:
        raise Damaged(f"There is no file {path}.") from error
    except (BadZipFile, OSError) as error:
        raise Damaged(f"{path.name} is no zip file, or not whole: {error}.") from error


@contextmanager
def _cells_of_any_length() -> Iterator[None]:
    """The limit is the whole process's, and bounds what a stranger's file may hold: it is put back."""
    before = csv.field_size_limit(sys.maxsize)
    try:
        yield
    finally:
        csv.field_size_limit(before)
