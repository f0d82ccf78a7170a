"""What a list's columns are: one description, used by the files and by the page that explains them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise as StrPromise

Value = str | int | float | Decimal | bool | date | datetime | None


class Kind(StrEnum):
    """How a value is written. A code is text whose leading zeros count, such as a serial."""

    TEXT = "text"
    CODE = "code"
    NUMBER = "number"
    DAY = "day"
    MOMENT = "moment"
    YES_NO = "yes-no"


@dataclass(frozen=True, slots=True)
class Column:
    """One column. ``name`` is for programs and never changes; ``title`` is for readers.

    ``of`` takes the value from a row: None where it is not known. A moment carries the zone in
    which it is shown. ``note`` says what the title does not.
    """

    name: str
    title: str | StrPromise
    kind: Kind
    of: Callable[[Any], Value]
    note: str | StrPromise = ""


@dataclass(frozen=True, slots=True)
class Table:
    """What a writer needs: heads, kinds, rows of values that are read once, and what is said of them."""

    title: str
    columns: Sequence[Column]
    rows: Iterable[Any]
    about: Sequence[tuple[str, str]]

    def values(self) -> Iterator[list[Value]]:
        """Each row's values in the order of the columns."""
        taken = [column.of for column in self.columns]
        return ([of(row) for of in taken] for row in self.rows)


Of = Callable[[Any], Value]


def of(path: str) -> Of:
    """The value at the end of a dotted path, such as 'item.site.name'; None where it breaks off."""
    names = path.split(".")

    def taken(row: Any) -> Value:
        for name in names:
            row = getattr(row, name, None)
            if row is None:
                return None
        found: Value = row
        return found

    return taken


def _of(taken: str | Of) -> Of:
    return of(taken) if isinstance(taken, str) else taken


def text(
    name: str, title: str | StrPromise, taken: str | Of, note: str | StrPromise = ""
) -> Column:
    return Column(name, title, Kind.TEXT, _of(taken), note)


def code(
    name: str, title: str | StrPromise, taken: str | Of, note: str | StrPromise = ""
) -> Column:
    return Column(name, title, Kind.CODE, _of(taken), note)


def number(
    name: str, title: str | StrPromise, taken: str | Of, note: str | StrPromise = ""
) -> Column:
    return Column(name, title, Kind.NUMBER, _of(taken), note)


def day(name: str, title: str | StrPromise, taken: str | Of, note: str | StrPromise = "") -> Column:
    return Column(name, title, Kind.DAY, _of(taken), note)


def moment(
    name: str, title: str | StrPromise, taken: str | Of, note: str | StrPromise = ""
) -> Column:
    """By the clock of the row's own site; see ``there``."""
    return Column(name, title, Kind.MOMENT, _of(taken), note)


def yes_no(
    name: str, title: str | StrPromise, taken: str | Of, note: str | StrPromise = ""
) -> Column:
    return Column(name, title, Kind.YES_NO, _of(taken), note)


def there(path: str, site: str = "site") -> Of:
    """The moment at the path, by the clock of the site at the other path; UTC where there is none."""
    when, where = of(path), of(f"{site}.time_zone")

    def taken(row: Any) -> Value:
        at, zone = when(row), where(row)
        if isinstance(at, datetime) and isinstance(zone, str):
            return at.astimezone(ZoneInfo(zone))
        return at

    return taken
