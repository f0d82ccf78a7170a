"""Reading single values of a what-if file, each with a refusal that says what was expected."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from readiness.rules.json_places import MalformedFile, Place

T = TypeVar("T")
Reader = Callable[[Place], T]

IGNORED = frozenset({"title", "site", "note", "expect"})
_MOST = 1e15
_YEARS = range(1900, 3000)


@dataclass(frozen=True, slots=True)
class Fields:
    """The keys of one object; unknown ones are refused when it is opened."""

    place: Place
    by_key: dict[str, Place]

    def required(self, key: str, read: Reader[T]) -> T:
        if key not in self.by_key:
            path = f"{self.place.path}.{key}" if self.place.path else key
            raise MalformedFile(self.place.line, path, "this key, found nothing")
        return read(self.by_key[key])

    def optional(self, key: str, read: Reader[T], default: T) -> T:
        return read(self.by_key[key]) if key in self.by_key else default


def fields(place: Place, known: Collection[str]) -> Fields:
    if not isinstance(place.value, dict):
        place.refuse("an object")
    for key, inner in place.value.items():
        if key not in known and key not in IGNORED:
            expected = f"one of the keys {', '.join(known)}, found an unknown key"
            raise MalformedFile(inner.line, inner.path, expected)
    return Fields(place, place.value)


def items(read: Reader[T]) -> Reader[tuple[T, ...]]:
    def read_all(place: Place) -> tuple[T, ...]:
        if not isinstance(place.value, list):
            place.refuse("a list")
        return tuple(read(inner) for inner in place.value)

    return read_all


def each(key: str, read: Reader[T]) -> Reader[tuple[T, ...]]:
    """A list of objects that are told apart by one key."""

    def read_each(place: Place) -> tuple[T, ...]:
        found = items(read)(place)
        _refuse_twice(place, key)
        return found

    return read_each


def _refuse_twice(place: Place, key: str) -> None:
    seen: set[object] = set()
    for inner in place.value if isinstance(place.value, list) else ():
        named = inner.value[key]
        if named.value in seen:
            named.refuse(f"an {key} not used before" if key == "id" else f"a {key} not used before")
        seen.add(named.value)


def or_none(read: Reader[T]) -> Reader[T | None]:
    def read_known(place: Place) -> T | None:
        return None if place.value is None else read(place)

    return read_known


def one_of(*words: str) -> Reader[str]:
    def read_word(place: Place) -> str:
        if not isinstance(place.value, str) or place.value not in words:
            place.refuse("one of " + ", ".join(f'"{word}"' for word in words))
        return place.value

    return read_word


def text(place: Place) -> str:
    if not isinstance(place.value, str) or not place.value.strip():
        place.refuse("a text that is not empty")
    return place.value


def any_text(place: Place) -> str:
    if not isinstance(place.value, str):
        place.refuse("a text")
    return place.value


def flag(place: Place) -> bool:
    if not isinstance(place.value, bool):
        place.refuse("true or false")
    return place.value


def amount(place: Place) -> float:
    found = place.value
    if isinstance(found, bool) or not isinstance(found, int | float):
        place.refuse("a number of 0 or more")
    if not 0 <= found <= _MOST:
        place.refuse("a number of 0 or more")
    return found


def whole_from(least: int, most: int = 100_000) -> Reader[int]:
    def read_whole(place: Place) -> int:
        found = place.value
        if isinstance(found, bool) or not isinstance(found, int) or not least <= found <= most:
            place.refuse(f"a whole number from {least} to {most}")
        return found

    return read_whole


def day(place: Place) -> date:
    found = place.value
    try:
        read = (
            date.fromisoformat(found)
            if isinstance(found, str) and len(found) == len("2026-03-09")
            else None
        )
    except ValueError:
        read = None
    if read is None or read.year not in _YEARS or read.isoformat() != found:
        place.refuse('a date such as "2026-03-09"')
    return read


def interval(place: Place) -> tuple[date, date]:
    pair = items(day)(place)
    if len(pair) != len(("from", "to")) or pair[0] > pair[1]:
        place.refuse("a pair [from, to] of dates, the first not after the second")
    return (pair[0], pair[1])
