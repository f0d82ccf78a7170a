"""What is said and taken over the API: strict shapes, whose days, moments and texts are never guessed."""

from __future__ import annotations

import re
import uuid
from datetime import date, datetime
from typing import Annotated, Any

from django.utils.translation import gettext_noop
from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticCustomError

FIRST_YEAR, LAST_YEAR = 1950, 2200
MOST_ROWS = 200
USUAL_ROWS = 50


class Shape(BaseModel):
    """Every shape refuses unknown keys, and takes no value for one of another type."""

    model_config = ConfigDict(extra="forbid", strict=True)


class Asked(BaseModel):
    """The query of a call: each parameter is text, read by its own type."""

    model_config = ConfigDict(extra="forbid")


def _day(value: Any) -> Any:
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", value):
        try:
            found = date.fromisoformat(value)
        except ValueError:
            found = None
        if found and FIRST_YEAR <= found.year <= LAST_YEAR:
            return found
    raise PydanticCustomError("day", "a day")


def _moment(value: Any) -> Any:
    if isinstance(value, datetime):
        return value
    try:
        found = datetime.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        found = None
    if found and found.tzinfo and FIRST_YEAR <= found.year <= LAST_YEAR:
        return found
    raise PydanticCustomError("moment", "a moment with its zone")


def _key(value: Any) -> Any:
    if isinstance(value, uuid.UUID):
        return value
    try:
        return uuid.UUID(value)
    except (ValueError, AttributeError, TypeError):
        raise PydanticCustomError("key", "a UUID") from None


def _whole(value: Any) -> Any:
    if type(value) is int:
        return value
    if isinstance(value, str) and re.fullmatch(r"[0-9]{1,9}", value):
        return int(value)
    raise PydanticCustomError("int_type", "a whole number")


def _storable(value: str) -> str:
    """No text that a database cannot hold: a NUL, half a character."""
    try:
        value.encode()
    except UnicodeEncodeError:
        raise PydanticCustomError("text", "text") from None
    if "\x00" in value:
        raise PydanticCustomError("text", "text")
    return value


read_whole = BeforeValidator(_whole)
"""Goes after the limits of a whole number that stands in a query."""

Day = Annotated[date, BeforeValidator(_day), Field(examples=["2026-11-20"])]
Moment = Annotated[
    datetime, BeforeValidator(_moment), Field(examples=["2026-11-20T09:30:00+00:00"])
]
Key = Annotated[
    uuid.UUID, BeforeValidator(_key), Field(examples=["6f1c1d0e-4a58-4d35-9d5c-6d3b0f6f2a11"])
]
Text = Annotated[str, AfterValidator(_storable)]

SiteCode = Annotated[
    str, Field(description=gettext_noop("Code of the site."), examples=["corrick"])
]
TagText = Annotated[str, Field(description=gettext_noop("Tag of the item."), examples=["H7K2PD3"])]


class Page(Asked):
    """Where a list goes on, and how much of it is told at a time."""

    after: Annotated[
        Text,
        Field(
            max_length=200,
            description=gettext_noop("What ‘next’ said at the end of the page before."),
        ),
    ] = ""
    limit: Annotated[
        int,
        Field(ge=1, le=MOST_ROWS, description=gettext_noop("Rows at a time."), examples=[50]),
        read_whole,
    ] = USUAL_ROWS


Next = Annotated[
    str | None,
    Field(
        description=gettext_noop("Give this as ‘after’ to read on; null at the end."),
        examples=[None],
    ),
]
