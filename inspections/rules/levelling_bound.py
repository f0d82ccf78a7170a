"""A cost below which no plan of visits can come, by prices of the inspectors' days.

Every site alone would take the days that suit it best. Where more sites want a day than there are
inspectors, the day gets a price; what the sites pay for priced days is given back once for each
inspector there is (Lagrangian relaxation). Any prices give a bound; the search only makes it high.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from inspections.rules.site_days import Offer, cheapest_days
from inspections.rules.visit_plan import Ask, Slot

ROUNDS = 24


@dataclass(frozen=True, slots=True)
class Bound:
    """The bound, and for each site the days it would take at those prices."""

    cost: int
    wanted: Mapping[int, tuple[Slot, ...]]


def bound_of(ask: Ask, best_known: int, rounds: int = ROUNDS) -> Bound:
    """The highest bound of some rounds of prices."""
    due, slots = due_by_site(ask), slots_by_day(ask)
    prices = [0] * ask.days
    best: Bound | None = None
    share = 1.0
    for _ in range(rounds):
        found, uses = _at(ask, due, slots, prices)
        if best is None or found.cost > best.cost:
            best = found
        else:
            share /= 2
        excess = [uses[day] - len(slots[day]) for day in range(ask.days)]
        slope = sum(over * over for day, over in enumerate(excess) if over > 0 or prices[day])
        if best.cost >= best_known or not slope:
            break
        step = share * (best_known - found.cost) / slope
        moved = [max(0, round(p + step * over)) for p, over in zip(prices, excess, strict=True)]
        if moved == prices:
            break
        prices = moved
    return best or Bound(0, {})


def due_by_site(ask: Ask) -> dict[int, list[int]]:
    """Minutes that fall due on each day at each site."""
    found: dict[int, list[int]] = {}
    for piece in ask.pieces:
        found.setdefault(piece.site, [0] * ask.days)[piece.due] += piece.minutes
    return found


def slots_by_day(ask: Ask) -> list[list[tuple[int, Slot]]]:
    """Who has hours on each day, the longest first."""
    found: list[list[tuple[int, Slot]]] = [[] for _ in range(ask.days)]
    for who in ask.inspectors:
        for day in range(ask.days):
            if who.minutes[day]:
                found[day].append((who.minutes[day], Slot(day, who.key)))
    return [sorted(each, key=lambda one: (-one[0], one[1])) for each in found]


def _at(
    ask: Ask,
    due: Mapping[int, Sequence[int]],
    slots: Sequence[Sequence[tuple[int, Slot]]],
    prices: Sequence[int],
) -> tuple[Bound, Counter[int]]:
    """Each site at its best by itself at these prices."""
    offers: list[list[Offer]] = [
        [(room, ask.visit_cost + prices[day], slot) for room, slot in each]
        for day, each in enumerate(slots)
    ]
    uses: Counter[int] = Counter()
    wanted = {}
    cost = -sum(price * len(each) for price, each in zip(prices, slots, strict=True))
    for site, work in due.items():
        days = cheapest_days(work, offers, ask.left_out_cost)
        cost += days.cost
        wanted[site] = days.slots
        uses.update(slot.day for slot in days.slots)
    return Bound(cost, wanted), uses
