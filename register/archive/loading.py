"""Bringing an archive's rows into empty tables: names become numbers, files go back into the store.

Every row keeps its number: the ledger and what was kept as JSON name things by it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from hashlib import sha256
from itertools import islice
from pathlib import PurePath
from tempfile import TemporaryFile

from django.core.files import File
from django.core.files.storage import Storage
from django.core.management.color import no_style
from django.db import DatabaseError, connection, models, transaction

from register.archive.naming import Names
from register.archive.reading import BLOCK, Damaged, Row, Source
from register.archive.tables import Column, Table, joined
from register.archive.values import Misread, reader_of
from register.refusal import Refusal

ROWS = 500  # written together
Made = Mapping[str, Callable[[], object]]
Step = Callable[[str], None]


class Loading:
    """One archive on its way in, inside the caller's transaction. ``made`` gives what never goes out."""

    def __init__(self, source: Source, made: Made, step: Step | None = None) -> None:
        self.source = source
        self.made = made
        self.step = step or (lambda _said: None)
        self.names = Names()
        self.files = source.files()
        self.stored: list[tuple[Storage, str]] = []
        self.rows = 0

    def check(self) -> None:
        """Read everything once: each part's hash, each row's own name, and no name twice."""
        for name in self.source.manifest["parts"]:
            self.step(f"checking {name}")
            self.source.check(name)
        for table in self.source.tables:
            self._name_rows(table)

    def load(self) -> None:
        """Write every table, then let new rows be numbered after these."""
        for table in self.source.tables:
            self.step(f"bringing in {table.name}")
            make = self._maker(table)
            rows = self.source.rows(table)
            while lot := list(islice(rows, ROWS)):
                self._write(table, lot, [make(row) for row in lot])
                self.rows += len(lot)
        _number_on([table.model for table in self.source.tables])
        connection.check_constraints()

    def forget_files(self) -> None:
        """Take back what was put into the store: the rows that name it were rolled back."""
        for storage, name in self.stored:
            storage.delete(name)

    def _name_rows(self, table: Table) -> None:
        places = [table.place(name) for name in table.key]
        numbers = [place for place, column in enumerate(table.columns) if column.is_number]
        for row in self.source.rows(table):
            name = joined(row.cells[place] for place in places)
            number = row.cells[numbers[0]] if numbers else self._id_of(table, row, name)
            if not self.names.add(table.label, name, number):
                raise row.wrong(
                    f"another row before it has the same {' or '.join(table.key)}, or its number"
                )

    def _id_of(self, table: Table, row: Row, name: str) -> str:
        """Of a table whose rows are those of another one told more of: that one's."""
        own = next((column for column in table.columns if column.field.primary_key), None)
        if own is None or not own.refers_to:
            return name
        return self.names.number_of(own.refers_to, row.cells[table.place(own.name)]) or name

    def _maker(self, table: Table) -> Callable[[Row], models.Model]:
        reads = [self._reader(column) for column in table.columns]
        label = table.label
        added = {
            name.removeprefix(f"{label}."): make
            for name, make in self.made.items()
            if name.startswith(f"{label}.")
        }

        def make(row: Row) -> models.Model:
            values = {name: given() for name, given in added.items()}
            for column, read, cell in zip(table.columns, reads, row.cells, strict=True):
                try:
                    values[column.field.attname] = read(cell)
                except Misread as error:
                    raise row.wrong(f"{cell[:60]!r}: {error}", column.name) from error
            return table.model(**values)

        return make

    def _reader(self, column: Column) -> Callable[[str], object]:
        if column.is_file:
            return lambda cell: self._store(column, cell)
        if not column.refers_to:
            return reader_of(column.field)
        target = column.field.target_field

        def read(cell: str) -> object:
            if not cell and column.may_be_null:
                return None
            number = self.names.number_of(column.refers_to, cell)
            if number is None:
                raise Misread(f"no row of tables/{column.refers_to.lower()}.csv is called so")
            return target.to_python(number)

        return read

    def _store(self, column: Column, cell: str) -> str:
        """The file in the store, under a name of its own; its bytes must be those of its hash."""
        if not cell:
            return ""
        if cell not in self.files:
            raise Misread("files.csv has no such file")
        size, told = self.files[cell]
        digest = sha256()
        with TemporaryFile() as kept, self.source.part(cell) as part:
            while block := part.read(BLOCK):
                digest.update(block)
                kept.write(block)
            if digest.hexdigest() != told or kept.tell() != size or told not in cell:
                raise Damaged(
                    f"{cell}: its content is not that of its hash; it was altered or damaged."
                )
            kept.seek(0)
            field = column.field
            name = field.generate_filename(None, PurePath(cell).name)
            stored: str = field.storage.save(name, File(kept), max_length=field.max_length)
        self.stored.append((field.storage, stored))
        return stored

    def _write(self, table: Table, rows: Sequence[Row], made: Sequence[models.Model]) -> None:
        """All at once; where the database refuses, one by one, so that the row can be named."""
        try:
            with transaction.atomic():
                _insert(table, made)
        except DatabaseError:
            for row, one in zip(rows, made, strict=True):
                try:
                    with transaction.atomic():
                        _insert(table, [one])
                except DatabaseError as error:
                    raise row.wrong(f"the database refuses it: {error}") from error
            raise


def _insert(table: Table, made: Sequence[models.Model]) -> None:
    if table.model._meta.parents:  # noqa: SLF001
        for one in made:
            one.save_base(raw=True, force_insert=True)
    else:
        table.model._base_manager.bulk_create(made)  # noqa: SLF001


def refuse_unless_empty(tables: Sequence[Table]) -> None:
    """Two registers in one would be neither."""
    for table in _filled(tables):
        raise Refusal(
            "register-not-empty",
            f"This register is not empty: it has rows of {table.label}. An archive is brought in whole,"
            " into a register of its own: set DATABASE_URL and DATA_DIR to empty ones and migrate first.",
        )


def _filled(tables: Sequence[Table]) -> Iterator[Table]:
    return (table for table in tables if table.model._base_manager.exists())  # noqa: SLF001


def _number_on(found: list[type[models.Model]]) -> None:
    """PostgreSQL counts its numbers apart from its rows; SQLite goes on from the greatest."""
    for statement in connection.ops.sequence_reset_sql(no_style(), found):
        with connection.cursor() as cursor:
            cursor.execute(statement)


def number_after(model: type[models.Model], greatest: int) -> None:
    """Let the next row of an empty table have a number above this one."""
    table, column = model._meta.db_table, model._meta.pk.column  # noqa: SLF001
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            said = "SELECT setval(pg_get_serial_sequence(%s, %s), %s)"
            cursor.execute(said, [connection.ops.quote_name(table), column, greatest])
        else:
            cursor.execute("DELETE FROM sqlite_sequence WHERE name = %s", [table])
            cursor.execute(
                "INSERT INTO sqlite_sequence (name, seq) VALUES (%s, %s)", [table, greatest]
            )
