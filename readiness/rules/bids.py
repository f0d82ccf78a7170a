"""What one task would take at some prices: exactly the cheapest, or blurred over all about as cheap.

Where many tasks are after the same, all would turn to whatever is a little cheaper, and prices would
swing. Blurred, what costs nearly the same is asked for in part, and prices settle in fewer rounds. The
blur only tells which way prices move: bounds are reckoned from exact costs.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from readiness.rules.market import Market, Offer
from readiness.rules.prices import Over, Prices

_LEAST = 0.02
"""Of the whole, what is asked for of a thing at the rim of the blur."""


class Bill(NamedTuple):
    """One way of one task: what it pays in all, its cheapest kit and people in full, their dearest."""

    cost: float
    kit: float
    people: float
    edge: float
    offer: Offer


def bills(task: str, family: str | None, prices: Prices, goods: Market) -> list[Bill]:
    """For each way that is left to the task: all, or that with a kit of the family."""
    kit_part, person_part = prices.kit_parts[task], prices.person_parts[task]
    kits, people, counts = prices.kits, prices.people, goods.people.counts
    found = []
    for offer in goods.offers[task]:
        if family is None or offer.way.family == family:
            kit = min([kits[place] for place in offer.kits])
            hire, edge = _hired(offer, counts, people)
            found.append(Bill(kit_part * kit + person_part * hire, kit, hire, edge, offer))
    return found


def cheapest(task: str, family: str | None, prices: Prices, goods: Market) -> float:
    """What the task pays at least, whichever way it takes."""
    kit_part = prices.kit_parts[task] if prices.movable else 1.0
    person_part = prices.person_parts[task] if prices.movable else 1.0
    kits = prices.kit_dues.get(task, prices.kits)
    people = prices.person_dues.get(task, prices.people)
    counts, least = goods.people.counts, float("inf")
    for offer in goods.offers[task]:
        if family is None or offer.way.family == family:
            cost = kit_part * min([kits[place] for place in offer.kits])
            if offer.need == 1:
                cost += person_part * min([people[place] for place in offer.people])
            elif offer.need:
                cost += person_part * _hired(offer, counts, people)[0]
            least = min(least, cost)
    return least


def _hired(offer: Offer, counts: tuple[int, ...], prices: list[float]) -> tuple[float, float]:
    """What the cheapest people for one way cost, and the dearest of them."""
    need = offer.need
    if need == 0:
        return 0.0, 0.0
    if need == 1:
        price = min([prices[place] for place in offer.people])
        return price, price
    hire = price = 0.0
    for price, place in sorted([(prices[place], place) for place in offer.people]):
        many = min(need, counts[place])
        hire += many * price
        need -= many
        if not need:
            break
    return hire, price


def covered_in_part(gain: float, blur: float) -> float:
    """How far a task that gains so much is covered: wholly or not at all but for the blur."""
    if gain >= blur:
        return 1.0 if gain > 0 else 0.0
    return (gain + blur) / (2 * blur) if gain > -blur else 0.0


class Blur(NamedTuple):
    """How far apart prices may be and still count as about the same."""

    goods: Market
    prices: Prices
    width: float

    def take(self, task: str, asked: list[Bill], share: float, over: Over) -> None:
        """The task takes a share of each way that costs about as little as the cheapest."""
        cost, width = min([bill.cost for bill in asked]), self.width
        near = [
            (1.0 - (bill.cost - cost) / width, bill) for bill in asked if bill.cost - cost < width
        ]
        whole = share / sum([much for much, _ in near])
        kit_part, person_part = self.prices.kit_parts[task], self.prices.person_parts[task]
        kit_paid = people_paid = 0.0
        for weight, bill in near:
            much = weight * whole
            kit_paid += much * bill.kit
            people_paid += much * bill.people
            self._spread(bill.offer.kits, bill.kit, much * kit_part, over.kits, kits=True)
            if bill.offer.need:
                self._hire(bill, much * person_part, over.people)
        over.kit_paid[task] = kit_paid
        over.person_paid[task] = people_paid

    def _hire(self, bill: Bill, much: float, over: list[float]) -> None:
        """Clearly cheaper people in full, and those about as dear as the dearest in part."""
        need, places = bill.offer.need, bill.offer.people
        if need > 1:
            low, rest = bill.edge - self.width, []
            for place in places:
                if self.prices.people[place] > low:
                    rest.append(place)
                else:
                    many = min(need, self.goods.people.counts[place])
                    over[place] -= much * many
                    need -= many
            places = tuple(rest)
        if need and places:
            self._spread(places, bill.edge, much * need, over, kits=False)

    def _spread(
        self, places: Sequence[int], edge: float, much: float, over: list[float], *, kits: bool
    ) -> None:
        if len(places) == 1:
            over[places[0]] -= much
            return
        prices = self.prices.kits if kits else self.prices.people
        counts = (self.goods.kits if kits else self.goods.people).counts
        width = self.width
        near = [
            (place, max(_LEAST, 1.0 - abs(prices[place] - edge) / width) * max(1, counts[place]))
            for place in places
            if prices[place] - edge < width
        ]
        whole = much / sum([weight for _, weight in near])
        for place, weight in near:
            over[place] -= weight * whole
