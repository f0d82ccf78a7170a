"""What prices once quoted prove about other questions on the same contest: a thing lost, another aim."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from readiness.rules.bounds import Aim, Quote
from readiness.rules.demand import Call, Resource
from readiness.rules.market import Market
from readiness.rules.prices import Prices


@dataclass(frozen=True, slots=True)
class Loss:
    """A thing that is gone, the class it was one of, and the tasks that nothing can cover then."""

    kit: int | None
    person: int | None
    tasks: tuple[str, ...]

    def less(self, goods: Market) -> Market:
        """What is left to be had. Who else loses by it is left out, which makes no bound too low."""
        return goods.less(self.kit, self.person)


def loss(goods: Market, lost: Resource, tasks: Iterable[str]) -> Loss:
    kit = goods.kits.class_of.get(lost.id) if lost.kind == "kit" else None
    person = goods.people.class_of.get(lost.id) if lost.kind == "person" else None
    return Loss(kit, person, tuple(tasks))


@dataclass(frozen=True, slots=True)
class Proof:
    """Whatever the prices, what they come to bounds what can be covered.

    One thing less to be had lowers that bound by its price, one task less by what the task gained,
    and a lower floor raises it by what the calls bring.
    """

    floors: Mapping[Call, int]
    prices: Prices
    quote: Quote

    def most(self, aim: Aim, lost: Loss) -> float:
        prices, gains = self.prices, self.quote.gains
        most = self.quote.most - sum(max(0.0, gains[task]) for task in lost.tasks)
        most -= 0.0 if lost.kit is None else prices.kits[lost.kit]
        most -= 0.0 if lost.person is None else prices.people[lost.person]
        for call, floor in self.floors.items():
            most += prices.calls[call] * (floor - aim.floors.get(call, 0))
        return most
