"""The verdict on an item along the days of a pack, as data: a phone then only compares days."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from inspections.rules.verdict import ItemState, Verdict, usable


@dataclass(frozen=True, slots=True)
class Spell:
    """From this day on, and until the next spell begins, the verdict stands."""

    from_on: date
    verdict: Verdict


def spells(state: ItemState, first: date, last: date) -> tuple[Spell, ...]:
    """The verdicts from the first day through the last, in order, neighbours never alike.

    A verdict changes only on the day after a last good day of the item or of one of its parts.
    """
    turns = {first}
    for day in _last_days(state):
        if first <= day < last:
            turns.add(day + timedelta(days=1))
    found: list[Spell] = []
    for day in sorted(turns):
        verdict = usable(state, day)
        if not found or found[-1].verdict != verdict:
            found.append(Spell(day, verdict))
    return tuple(found)


def _last_days(state: ItemState) -> Iterator[date]:
    yield from (clock.last_day for clock in state.clocks if clock.last_day)
    for part in state.kit_parts:
        yield from _last_days(part.state)
