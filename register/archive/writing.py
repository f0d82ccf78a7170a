"""Writing an archive: table after table as rows come from the database, then the files, then the manifest.

Nothing in it says when it was made, rows stand in the order of their numbers, and every entry of the zip
has the same moment: the same register gives the same bytes (compressed by the same zlib).
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from hashlib import sha256
from io import RawIOBase, TextIOWrapper
from pathlib import PurePath
from typing import IO, Any, cast
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from django.core.files.storage import Storage

from register.archive import described
from register.archive.tables import Column, Table, joined, paths_to
from register.archive.values import writer_of

Step = Callable[[str], None]
ROWS = 2_000  # fetched together
BLOCK = 1 << 20


@dataclass(slots=True)
class Written:
    """What went out: rows by table, bytes of the files, and what was not found on the disk."""

    rows: dict[str, int] = field(default_factory=dict)
    files: int = 0
    file_bytes: int = 0
    lost: list[str] = field(default_factory=list)
    sha256: str = ""


class _Sum(RawIOBase):
    """A stream that counts and hashes what goes through it."""

    def __init__(self, out: IO[bytes]) -> None:
        self.out = out
        self.bytes = 0
        self.digest = sha256()

    def writable(self) -> bool:
        return True

    def write(self, block: Any) -> int:
        self.bytes += len(block)
        self.digest.update(block)
        return self.out.write(block)

    def told(self) -> dict[str, object]:
        return {"bytes": self.bytes, "sha256": self.digest.hexdigest()}


class Archive:
    """One archive being written."""

    def __init__(self, out: IO[bytes], tables: Sequence[Table], step: Step | None = None) -> None:
        self.zip = ZipFile(out, "w", ZIP_DEFLATED)
        self.tables = tables
        self.by_label = {table.label: table for table in tables}
        self.step = step or (lambda _said: None)
        self.done = Written()
        self.files: dict[str, tuple[Storage, str]] = {}
        self.parts: dict[str, dict[str, object]] = {}

    def text(self, name: str, text: str) -> None:
        """A part that is text as a whole."""
        with self._part(name) as out:
            out.write(text.encode())

    def table(self, table: Table) -> None:
        """Every row of one table."""
        self.step(table.name)
        with self._part(table.file) as out:
            text = TextIOWrapper(cast("IO[bytes]", out), encoding="utf-8", newline="")
            lines = csv.writer(text, lineterminator="\r\n")
            lines.writerow([column.name for column in table.columns])
            number = 0
            for row in self._rows(table):
                lines.writerow(row)
                number += 1
            text.flush()
            text.detach()
        self.done.rows[table.label] = number
        self.parts[table.file]["rows"] = number

    def all_files(self) -> None:
        """Each file once, by the hash of its bytes, and the list of them."""
        listed = ["path,bytes,sha256\r\n"]
        for path in sorted(self.files):
            storage, name = self.files[path]
            self.step(path)
            with storage.open(name, "rb") as source, self._entry(path, ZIP_STORED) as entry:
                out = _Sum(entry)
                while block := source.read(BLOCK):
                    out.write(block)
            listed.append(f"{path},{out.bytes},{out.digest.hexdigest()}\r\n")
            self.done.files += 1
            self.done.file_bytes += out.bytes
        self.text(described.FILES, "".join(listed))

    def close(self, manifest: Mapping[str, object]) -> Written:
        """The manifest comes last: it tells the hash of every other part. Its own hash names the archive."""
        told = {
            **manifest,
            "format": described.FORMAT,
            "version": described.VERSION,
            "schema": described.schema_mark(self.tables),
            "files": {"count": self.done.files, "bytes": self.done.file_bytes},
            "lost": self.done.lost,
            "parts": self.parts,
        }
        text = described.written(told)
        with self._entry(described.MANIFEST, ZIP_DEFLATED) as entry:
            entry.write(text.encode())
        self.zip.close()
        self.done.sha256 = sha256(text.encode()).hexdigest()
        return self.done

    def _part(self, name: str) -> _Part:
        return _Part(self, name)

    def _entry(self, name: str, compressed: int) -> IO[bytes]:
        info = ZipInfo(name, date_time=(1980, 1, 1, 0, 0, 0))
        info.compress_type = compressed
        info.create_system = 3
        info.external_attr = 0o600 << 16
        return self.zip.open(info, "w", force_zip64=True)

    def _rows(self, table: Table) -> Iterator[list[str]]:
        paths, takes = self._plan(table)
        order = [column.field.attname for column in table.columns] if table.is_between else ["pk"]
        found = table.model._base_manager.order_by(*order).values_list(*paths)  # noqa: SLF001
        for row in found.iterator(chunk_size=ROWS):
            yield [take(row) for take in takes]

    def _plan(self, table: Table) -> tuple[list[str], list[Callable[[Sequence[Any]], str]]]:
        """What to ask of the database, and how each column's text comes of the answer."""
        paths: list[str] = []
        takes: list[Callable[[Sequence[Any]], str]] = []
        for column in table.columns:
            first = len(paths)
            if column.refers_to:
                paths += paths_to(column.refers_to, column.field.name, self.by_label)
                takes.append(_joins(first, len(paths)))
                continue
            paths.append(column.field.attname)
            takes.append(
                self._filed(first, table, column) if column.is_file else _writes(first, column)
            )
        return paths, takes

    def _filed(self, place: int, table: Table, column: Column) -> Callable[[Sequence[Any]], str]:
        storage = column.field.storage

        def take(row: Sequence[Any]) -> str:
            name = str(row[place] or "")
            if not name:
                return ""
            path = _path_of(storage, name)
            if path:
                self.files[path] = (storage, name)
            else:
                self.done.lost.append(f"{table.name}: {name}")
            return path

        return take


class _Part:
    """A part of the archive whose hash is kept for the manifest once it is whole."""

    def __init__(self, archive: Archive, name: str) -> None:
        self.archive, self.name = archive, name
        self.entry = archive._entry(name, ZIP_DEFLATED)  # noqa: SLF001
        self.sum = _Sum(self.entry)

    def __enter__(self) -> _Sum:
        return self.sum

    def __exit__(self, *failed: object) -> None:
        self.entry.close()
        self.archive.parts[self.name] = self.sum.told()


def _writes(place: int, column: Column) -> Callable[[Sequence[Any]], str]:
    write = writer_of(column.field)
    return lambda row: write(row[place])


def _joins(first: int, last: int) -> Callable[[Sequence[Any]], str]:
    return lambda row: joined(row[first:last])


def _path_of(storage: Storage, name: str) -> str:
    """'files/ab/ab12….jpg', by what the file holds now; '' where it is not there."""
    digest = sha256()
    try:
        with storage.open(name, "rb") as source:
            while block := source.read(BLOCK):
                digest.update(block)
    except FileNotFoundError:
        return ""
    told = digest.hexdigest()
    return f"files/{told[:2]}/{told}{PurePath(name).suffix.lower()}"
