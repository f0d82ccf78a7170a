"""Each kind of value as text and back: one way to write it, so that the same register is the same file."""

from __future__ import annotations

import json
import uuid
from collections.abc import Callable
from datetime import UTC, date, datetime, time
from decimal import Decimal, InvalidOperation
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models

NULL = "\\N"  # no text at all, in the columns where that differs from an empty one


class Misread(Exception):
    """A text that is no value of its column; says what was expected."""


def _moment(value: datetime) -> str:
    return value.astimezone(UTC).isoformat().replace("+00:00", "Z")


def _json(value: object) -> str:
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def _truth_read(text: str) -> bool:
    return {"true": True, "false": False}[text]


Write = Callable[[Any], str]
Read = Callable[[str], Any]
# field class, CSVW datatype, in words, to text, from text; the first class that fits counts
KINDS: tuple[tuple[type[models.Field[Any, Any]], str, str, Write, Read], ...] = (
    (
        models.BooleanField,
        "boolean",
        "true or false",
        lambda v: "true" if v else "false",
        _truth_read,
    ),
    (models.IntegerField, "integer", "a whole number", str, int),
    (models.FloatField, "double", "a number with a point", repr, float),
    (models.DecimalField, "decimal", "a number with a point", str, Decimal),
    (
        models.DateTimeField,
        "dateTime",
        "a moment like 2026-03-09T12:00:00Z",
        _moment,
        datetime.fromisoformat,
    ),
    (models.DateField, "date", "a day like 2026-03-09", date.isoformat, date.fromisoformat),
    (models.TimeField, "time", "an hour like 06:00:00", time.isoformat, time.fromisoformat),
    (models.UUIDField, "string", "a UUID", str, uuid.UUID),
    (models.JSONField, "json", "JSON, keys sorted, without spaces", _json, json.loads),
    (models.CharField, "string", "text", str, str),
    (models.TextField, "string", "text", str, str),
)


def kind_of(field: Any) -> tuple[type[models.Field[Any, Any]], str, str, Write, Read]:
    """How the field is written; TypeError for a field that the archive has no way to write yet."""
    for kind in KINDS:
        if isinstance(field, kind[0]):
            return kind
    raise TypeError(f"The archive cannot write a {type(field).__name__}: {field}.")


def is_text(field: Any) -> bool:
    return isinstance(field, models.CharField | models.TextField)


def writer_of(field: Any) -> Write:
    """Text of a value; '' for none, and ``NULL`` where a text may be none."""
    write = _decimal(field) if isinstance(field, models.DecimalField) else kind_of(field)[3]
    if field.null and is_text(field):
        return lambda value: NULL if value is None else _not_null(str(value))
    return lambda value: "" if value is None else write(value)


def _not_null(text: str) -> str:
    """A text that begins like ``NULL`` gets one more backslash, which reading takes off."""
    return f"\\{text}" if text.startswith("\\") else text


def _decimal(field: Any) -> Write:
    """SQLite gives 1.5 for 1.50: always all decimals of the field."""
    return lambda value: f"{value:.{field.decimal_places}f}"


def reader_of(field: Any) -> Read:
    """The value of a text; ``Misread`` for what is none, or is not written as ``writer_of`` writes."""
    _kind, _datatype, expected, _write, read = kind_of(field)
    write = writer_of(field)

    def value_of(text: str) -> Any:
        if field.null and text == (NULL if is_text(field) else ""):
            return None
        if field.null and is_text(field) and text.startswith("\\"):
            value: Any = text[1:]
        else:
            value = _read(read, text, expected)
        if write(value) != text:
            raise Misread(f"{expected} is written as {write(value)!r} here")
        _check(field, value)
        return value

    return value_of


def _read(read: Read, text: str, expected: str) -> Any:
    if "\x00" in text:
        raise Misread("a text without the sign NUL is expected")
    try:
        return read(text)
    except (ValueError, KeyError, InvalidOperation) as error:
        raise Misread(f"{expected} is expected") from error


def _check(field: Any, value: Any) -> None:
    """Its length and its bounds, as the column in the database has them."""
    try:
        field.run_validators(value)
    except ValidationError as error:
        raise Misread(" ".join(error.messages)) from error
