"""What an archive says of itself: CSV on the Web (W3C, 'Metadata Vocabulary for Tabular Data'), by which any
program can read its tables, and the manifest that binds every part by its hash."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from hashlib import sha256
from typing import Any

from django.db import models

from register.archive.tables import Column, Table
from register.archive.values import NULL, is_text, kind_of

FORMAT = "tallyhook-archive"
VERSION = 1
README, METADATA, FILES, MANIFEST = "README.txt", "csv-metadata.json", "files.csv", "manifest.json"

Meanings = Mapping[str, str]
_DIALECT: dict[str, Any] = {
    "encoding": "utf-8",
    "header": True,
    "delimiter": ",",
    "quoteChar": '"',
    "doubleQuote": True,
}


def written(found: object) -> str:
    """JSON that is the same for the same content."""
    return json.dumps(found, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def metadata_of(tables: Sequence[Table], meanings: Meanings) -> str:
    """Every table and column with its kind, its meaning and what it refers to."""
    by_label = {table.label: table for table in tables}
    return written(
        {
            "@context": "http://www.w3.org/ns/csvw",
            "dc:title": "A whole register of fall-protection equipment",
            "dialect": {**_DIALECT, "lineTerminators": ["\r\n"]},
            "tables": [_table(table, by_label, meanings) for table in tables],
        }
    )


def schema_mark(tables: Sequence[Table]) -> str:
    """Equal for equal tables and columns, whatever is said of them: 64 hexadecimal digits."""
    said = [
        [table.name, list(table.key), [[*_kind(one), one.may_be_null] for one in table.columns]]
        for table in tables
    ]
    return sha256(json.dumps(said).encode()).hexdigest()


def _kind(column: Column) -> list[str]:
    if column.refers_to or column.is_file:
        return [column.name, column.refers_to or "file"]
    return [column.name, kind_of(column.field)[1]]


def _table(table: Table, by_label: Mapping[str, Table], meanings: Meanings) -> dict[str, Any]:
    number = [column.name for column in table.columns if column.is_number]
    return {
        "url": table.file,
        "dc:description": meanings[table.label],
        "tableSchema": {
            "columns": [_column(table, column, by_label, meanings) for column in table.columns],
            "primaryKey": number or list(table.key),
            "foreignKeys": [
                {
                    "columnReference": column.name,
                    "reference": {
                        "resource": by_label[column.refers_to].file,
                        "columnReference": by_label[column.refers_to].key[0],
                    },
                }
                for column in table.columns
                if column.refers_to and len(by_label[column.refers_to].key) == 1
            ],
        },
    }


def _column(
    table: Table, column: Column, by_label: Mapping[str, Table], meanings: Meanings
) -> dict[str, Any]:
    field = column.field
    told: dict[str, Any] = {
        "name": column.name,
        "titles": column.name,
        "dc:description": _meaning(meanings[f"{table.label}.{column.name}"], column, by_label),
        "datatype": _datatype(column, by_label),
        "required": not column.may_be_null and not is_text(field),
    }
    if column.may_be_null and is_text(field) and not column.refers_to:
        told["null"] = NULL
    return told


def _datatype(column: Column, by_label: Mapping[str, Table]) -> Any:
    """That of the column it refers to; a joined name is a text."""
    if column.refers_to:
        there = by_label[column.refers_to]
        named_by = there.columns[there.place(there.key[0])]
        return "string" if len(there.key) > 1 else _datatype(named_by, by_label)
    if column.is_file:
        return "string"
    base = kind_of(column.field)[1]
    longest = column.field.max_length if is_text(column.field) else None
    return {"base": base, "maxLength": longest} if longest else base


def _meaning(said: str, column: Column, by_label: Mapping[str, Table]) -> str:
    found = [said]
    if column.refers_to:
        there = by_label[column.refers_to]
        found.append(
            f"Names a row of {there.file} by its {' and '.join(there.key)}, joined by '/'."
        )
        if len(there.key) == 1:
            found[-1] = f"Names a row of {there.file} by its {there.key[0]}."
    if column.is_file:
        found.append("The path of the file in this archive; empty where the file was lost.")
    if choices := _choices(column.field):
        found.append(f"One of: {', '.join(choices)}.")
    return " ".join(found)


def _choices(field: models.Field[Any, Any]) -> list[str]:
    return [str(value) for value, _name in field.flatchoices if value not in ("", None)]
