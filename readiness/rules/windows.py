"""Stretches of time: from a moment until another, the last not counted; all in UTC."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Generic, TypeVar
from zoneinfo import ZoneInfo

Held = TypeVar("Held")

Window = tuple[datetime, datetime]
"""From the first moment until the second, which is not part of it."""

EVER = datetime.min.replace(tzinfo=UTC)
FOREVER = datetime.max.replace(tzinfo=UTC)
ALWAYS: tuple[Window, ...] = ((EVER, FOREVER),)


def moment(day: date, at: time, zone: ZoneInfo) -> datetime:
    """What a clock on site calls so. An hour that comes twice means its first; one that is
    skipped, the moment at which it would have been: neither leaves a gap between two shifts."""
    return datetime.combine(day, at, tzinfo=zone).astimezone(UTC)


def midnight(day: date, zone: ZoneInfo) -> datetime:
    """The moment at which the day begins on site."""
    return moment(day, time(0), zone)


def hours_of(day: date, begins: time, ends: time, zone: ZoneInfo) -> Window:
    """Hours that end no later than they begin run into the day after."""
    last = day + timedelta(days=1) if ends <= begins else day
    return (moment(day, begins, zone), moment(last, ends, zone))


def hours_there(
    day: date,
    shift: tuple[time, time],
    own: tuple[time | None, time | None],
    zone: ZoneInfo,
) -> Window:
    """The hours of the shift, but for an own hour of coming or going.

    An own hour before the shift's first is one after midnight.
    """
    begins, ends = shift
    comes, goes = own
    first, last = hours_of(day, begins, ends, zone)

    def on_shift(at: time) -> datetime:
        return moment(day + timedelta(days=at < begins), at, zone)

    return (
        first if comes is None else on_shift(comes),
        last if goes is None else on_shift(goes),
    )


def united(windows: Iterable[Window]) -> tuple[Window, ...]:
    """The same time in as few windows as possible, in order."""
    found: list[Window] = []
    for begins, ends in sorted(windows):
        if begins >= ends:
            continue
        if found and begins <= found[-1][1]:
            found[-1] = (found[-1][0], max(ends, found[-1][1]))
        else:
            found.append((begins, ends))
    return tuple(found)


def without(windows: Iterable[Window], lost: Iterable[Window]) -> tuple[Window, ...]:
    """What is left of the first when the second is taken out."""
    left = united(windows)
    for begins, ends in united(lost):
        left = tuple(piece for one in left for piece in _cut(one, begins, ends))
    return left


def _cut(window: Window, begins: datetime, ends: datetime) -> Iterator[Window]:
    first, last = window
    if ends <= first or last <= begins:
        yield window
        return
    if first < begins:
        yield (first, begins)
    if ends < last:
        yield (ends, last)


@dataclass(frozen=True, slots=True)
class Steps(Generic[Held]):
    """What holds from each turn until the next; nothing before the first and after the last."""

    turns: tuple[datetime, ...]
    held: tuple[tuple[Held, ...], ...]

    def at(self, moment: datetime) -> tuple[Held, ...]:
        place = bisect_right(self.turns, moment) - 1
        return self.held[place] if place >= 0 else ()


def steps(pieces: Iterable[tuple[datetime, datetime, Held]]) -> Steps[Held]:
    """From things that hold from a moment until another; several may hold at once."""
    listed = [piece for piece in pieces if piece[0] < piece[1]]
    turns = sorted({turn for begins, ends, _ in listed for turn in (begins, ends)})
    place = {turn: index for index, turn in enumerate(turns)}
    held: list[list[Held]] = [[] for _ in turns]
    for begins, ends, thing in listed:
        for index in range(place[begins], place[ends]):
            held[index].append(thing)
    return Steps(tuple(turns), tuple(map(tuple, held)))
