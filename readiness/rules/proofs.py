"""What prices once quoted prove about other questions on the same contest: a thing lost, another aim."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from readiness.rules.aims import Aim
from readiness.rules.bounds import Quote
from readiness.rules.demand import Call
from readiness.rules.market import Loss
from readiness.rules.prices import Prices


@dataclass(frozen=True, slots=True)
class Proof:
    """Whatever the prices, what they come to bounds what can be covered.

    One thing less to be had lowers that bound by its price, one task less by what the task gained,
    and a lower floor raises it by what the calls bring. Of an aim that counts other tasks it says nothing.
    """

    counted: Call | None
    floors: Mapping[Call, int]
    prices: Prices
    quote: Quote

    def most(self, aim: Aim, lost: Loss) -> float:
        if aim.counted != self.counted:
            return float("inf")
        prices, gains = self.prices, self.quote.gains
        most = self.quote.most - sum([max(0.0, gains[task]) for task in lost.tasks])
        most -= 0.0 if lost.kit is None else prices.kits[lost.kit]
        most -= 0.0 if lost.person is None else prices.people[lost.person]
        for call, floor in self.floors.items():
            most += prices.calls[call] * (floor - aim.floors.get(call, 0))
        return most
