"""A table of the archive, read from a model: its columns, what names a row, what a column refers to."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.apps import apps
from django.db import models

NUMBER = "row"  # the column that holds a row's own number
Keys = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class Column:
    """One column. ``refers_to`` is the label of the model whose rows it names, or ''."""

    name: str
    field: Any
    refers_to: str = ""
    is_number: bool = False

    @property
    def is_file(self) -> bool:
        return isinstance(self.field, models.FileField)

    @property
    def may_be_null(self) -> bool:
        return bool(self.field.null)


@dataclass(frozen=True)
class Table:
    """One model as a table. ``key`` are the columns by which other tables name a row of this one."""

    model: type[models.Model]
    columns: tuple[Column, ...]
    key: tuple[str, ...]

    @cached_property
    def label(self) -> str:
        """'register.Item'."""
        return str(self.model._meta.label)  # noqa: SLF001

    @cached_property
    def name(self) -> str:
        """'register.item', after which its file is called."""
        return self.label.lower()

    @cached_property
    def file(self) -> str:
        return f"tables/{self.name}.csv"

    @cached_property
    def is_between(self) -> bool:
        """It only joins two tables; its rows have no number of their own."""
        return bool(self.model._meta.auto_created)  # noqa: SLF001

    def place(self, name: str) -> int:
        """The place of a column among the others."""
        return [column.name for column in self.columns].index(name)


def tables_of(labels: Sequence[str], keys: Keys, left_out: Collection[str] = ()) -> list[Table]:
    """The tables in their order. ``left_out`` names columns as 'register.User.password'."""
    return [_table(apps.get_model(label), keys, left_out) for label in labels]


def _table(model: type[models.Model], keys: Keys, left_out: Collection[str]) -> Table:
    meta = model._meta  # noqa: SLF001
    columns = tuple(
        _column(field)
        for field in meta.local_concrete_fields
        if f"{meta.label}.{field.name}" not in left_out
        and not (meta.auto_created and field.primary_key)
    )
    if meta.auto_created:
        return Table(model, columns, tuple(column.name for column in columns))
    return Table(model, columns, keys.get(meta.label, (_name_of(meta.pk),)))


def _column(field: Any) -> Column:
    refers_to = field.related_model._meta.label if field.related_model else ""  # noqa: SLF001
    is_number = bool(field.primary_key and isinstance(field, models.AutoField))
    return Column(_name_of(field), field, refers_to, is_number)


def _name_of(field: Any) -> str:
    """The row's own number has one name in every table, whatever Django calls it."""
    is_number = field.primary_key and isinstance(field, models.AutoField)
    return NUMBER if is_number else str(field.name)


def paths_to(label: str, start: str, tables: Mapping[str, Table]) -> list[str]:
    """What to ask the database for, from a row, to name the row of ``label`` that ``start`` leads to."""
    table = tables[label]
    found: list[str] = []
    for name in table.key:
        column = table.columns[table.place(name)]
        path = f"{start}__pk" if column.is_number else f"{start}__{column.field.name}"
        found += paths_to(column.refers_to, path, tables) if column.refers_to else [path]
    return found


def joined(parts: Iterable[str | None]) -> str:
    """The parts of a row's name as one text: 'corrick/deck-2'; '' for no row."""
    told = list(parts)
    return "" if any(part is None for part in told) else "/".join(str(part) for part in told)
