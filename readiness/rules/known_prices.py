"""Prices that served before: good to start from where prices are moved, never needed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from readiness.rules.aims import Aim
from readiness.rules.market import Goods, Market
from readiness.rules.prices import Prices, first_prices


@dataclass(slots=True)
class Known:
    """By thing, and as they were."""

    kits: dict[str, float] = field(default_factory=dict)
    people: dict[str, float] = field(default_factory=dict)
    last: Prices | None = None

    def starts(self, goods: Market, aim: Aim, tasks: tuple[str, ...]) -> tuple[Prices, ...]:
        first = first_prices(goods, aim.floors, tasks)
        if self.last is None:
            return first
        last, fresh = self.last, first[0]
        again = Prices(
            _by_class(goods.kits, self.kits),
            _by_class(goods.people, self.people),
            {call: last.calls.get(call, 1.0) for call in aim.floors},
            goods.kits.circles.filled(
                {one: last.kit_parts.get(one, part) for one, part in fresh.kit_parts.items()}
            ),
            goods.people.circles.filled(
                {one: last.person_parts.get(one, part) for one, part in fresh.person_parts.items()}
            ),
        )
        return (again, *first)

    def keep(self, goods: Market, prices: Prices) -> None:
        self.kits = {one: prices.kits[place] for one, place in goods.kits.class_of.items()}
        self.people = {one: prices.people[place] for one, place in goods.people.class_of.items()}
        self.last = prices


def _by_class(goods: Goods, prices: Mapping[str, float]) -> list[float]:
    found = [0.0] * len(goods.counts)
    for one, place in goods.class_of.items():
        found[place] = prices.get(one, found[place])
    return found
