"""The cheapest days to visit one site, were its work as divisible as water.

Seen backwards in time, work comes in on its due day and waits, at a cost for each day, for a visit;
a visit takes all that waits, up to its room. Nothing is ever gained by taking less. So a state is
what waits and what it has cost, and of two states the one better in both is kept: the answer is
exact for divisible work, and hence a bound from below for pieces.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspections.rules.visit_plan import Slot

Offer = tuple[int, int, Slot]  # minutes of room, cost, the inspector's day
Chain = tuple[Slot, "Chain"] | None
State = tuple[int, int, Chain]  # what waits, the cost so far, the visits so far


@dataclass(frozen=True, slots=True)
class SiteDays:
    """The least cost and the visits that have it."""

    cost: int
    slots: tuple[Slot, ...]


def cheapest_days(
    due: Sequence[int], offers: Sequence[Sequence[Offer]], left_out_cost: int
) -> SiteDays:
    """``due`` holds the minutes that fall due on each day, ``offers`` those who could come on it.

    What is left at the first day counts as left out, less the waiting already paid for it.
    """
    states: list[State] = [(0, 0, None)]
    for day in reversed(range(len(due))):
        if due[day]:
            states = [(waits + due[day], cost, chain) for waits, cost, chain in states]
        if offers[day]:
            states = _visited(states, offers[day])
        if day:
            states = [(waits, cost + waits, chain) for waits, cost, chain in states]
    each = left_out_cost - len(due)
    waits, cost, chain = min(states, key=lambda one: (one[1] + one[0] * each, one[0]))
    return SiteDays(cost + waits * each, tuple(_unchained(chain)))


def _visited(states: Sequence[State], offers: Sequence[Offer]) -> list[State]:
    """Each state with none, one, two ... visits that day, the roomiest first; the best of them."""
    found = []
    for waits, cost, chain in states:
        found.append((waits, cost, chain))
        for room, price, slot in offers:
            if waits <= 0:
                break
            waits, cost, chain = max(0, waits - room), cost + price, (slot, chain)  # noqa: PLW2901
            found.append((waits, cost, chain))
    return _undominated(found)


def _undominated(states: list[State]) -> list[State]:
    kept: list[State] = []
    for state in sorted(states, key=lambda one: (one[0], one[1])):
        if not kept or state[1] < kept[-1][1]:
            kept.append(state)
    return kept


def _unchained(chain: Chain) -> list[Slot]:
    found = []
    while chain:
        slot, chain = chain
        found.append(slot)
    return found
