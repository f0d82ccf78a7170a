"""How much could be covered at most, told by prices: never too low, and mostly exact.

Put a price on every kit and every person. Whatever the prices are, no allocation is worth more than
what all kits and people cost together and what is left of each task's worth once it has paid for the
cheapest it could take (Lagrangian relaxation). Prices go up where too many ask and down where too
few do; what must be covered, or cannot be, shows on the way.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from readiness.rules.demand import Call, Demand, Way
from readiness.rules.market import Goods, Market, Offer
from readiness.rules.seating import Meter
from readiness.rules.sharing import Circles, Parts, even_parts

HAIR = 1e-6
"""Far more than the rounding of such sums can come to, far less than one task."""

_NEW, _OLD = 0.7, 0.3
_BELOW = 0.4
"""The bound is driven to this much under one task less than the aim asks: well within proof."""


@dataclass(frozen=True, slots=True)
class Aim:
    """At least so many at each call, and at least so many of those counted; None counts all."""

    floors: Mapping[Call, int]
    counted: Call | None
    least: int

    def counts(self, demand: Demand) -> bool:
        return self.counted is None or demand.rank == self.counted

    def reached(self, covered: Iterable[Demand]) -> bool:
        held = list(covered)
        calls = [demand.rank for demand in held]
        return sum(map(self.counts, held)) >= self.least and all(
            calls.count(call) >= floor for call, floor in self.floors.items()
        )


@dataclass(frozen=True, slots=True)
class Prices:
    """What a kit and a person of each class cost, what a task at each call brings, who pays which part."""

    kits: list[float]
    people: list[float]
    calls: dict[Call, float]
    kit_parts: Parts
    person_parts: Parts


@dataclass(slots=True)
class Over:
    """What is left over, or wanting where negative, of each class and beyond each floor.

    `kit_paid` and `person_paid` are the full prices that covered tasks pay their part of.
    """

    kits: list[float]
    people: list[float]
    calls: dict[Call, float]
    kit_paid: Parts = field(default_factory=dict)
    person_paid: Parts = field(default_factory=dict)

    def take(self, task: str, bill: Bill) -> None:
        self.kits[bill.kit] -= bill.kit_part
        self.kit_paid[task] = bill.kit_price
        self.person_paid[task] = bill.people_price
        for place, many in bill.people:
            self.people[place] -= many * bill.person_part

    def blended(self, before: Over | None) -> Over:
        """Part of the way before is kept, which keeps prices from swinging to and fro."""
        if before is None:
            return self
        return Over(
            [_NEW * a + _OLD * b for a, b in zip(self.kits, before.kits, strict=True)],
            [_NEW * a + _OLD * b for a, b in zip(self.people, before.people, strict=True)],
            {call: _NEW * self.calls[call] + _OLD * before.calls[call] for call in self.calls},
            self.kit_paid,
            self.person_paid,
        )

    @property
    def steepness(self) -> float:
        sides = (self.kits, self.people, self.calls.values())
        return sum(one * one for side in sides for one in side)


def first_prices(goods: Market, aim: Aim, tasks: tuple[str, ...]) -> tuple[Prices, ...]:
    """Everything somewhat scarce; only kits scarce; only people."""
    calls = dict.fromkeys(aim.floors, 1.0)
    kit_parts = even_parts(goods.kits.circles, tasks, goods.mates)
    person_parts = even_parts(goods.people.circles, tasks, goods.mates)
    starts = ((0.5, 0.1), (1.0, 0.0), (0.0, 0.7))
    return tuple(
        Prices(
            [kit] * len(goods.kits.counts),
            [person] * len(goods.people.counts),
            calls,
            kit_parts,
            person_parts,
        )
        for kit, person in starts
    )


def _moved(prices: list[float], over: list[float], step: float) -> list[float]:
    return [max(0.0, price - step * left) for price, left in zip(prices, over, strict=True)]


def _shifted(around: Circles, parts: Parts, paid: Parts, step: float) -> Parts:
    """Who is covered can pay more, and so leaves less to pay for those who share with it."""
    if not around.sets:
        return parts
    return around.fitted(
        {
            task: part + step * paid.get(task, 0.0) if task in around.of else part
            for task, part in parts.items()
        }
    )


@dataclass(frozen=True, slots=True)
class Standing:
    """What a search has decided: who is covered in which way, and who is still open."""

    kept: Mapping[str, Way]
    open: tuple[str, ...]
    must: frozenset[str] = frozenset()
    """Of the open, those known to be covered one way or another."""


@dataclass(slots=True)
class Quote:
    """The bound at some prices, and what each open task gains by being covered."""

    most: float
    over: Over
    gains: dict[str, float] = field(default_factory=dict)


class Bill(NamedTuple):
    """The cheapest of one way at some prices, and the parts of them that its task pays."""

    cost: float
    kit: int
    kit_price: float
    kit_part: float
    people: list[tuple[int, int]]
    people_price: float
    person_part: float


@dataclass(slots=True)
class Verdict:
    """Nothing can be reached where `possible` is False; `gains` and `prices` are of the lowest bound."""

    least: int
    prices: Prices
    possible: bool = True
    most: float = float("inf")
    gains: dict[str, float] = field(default_factory=dict)
    must: set[str] = field(default_factory=set)
    never: set[str] = field(default_factory=set)
    quotes: list[tuple[Prices, Quote]] = field(default_factory=list)

    def learn(self, quote: Quote, prices: Prices) -> None:
        self.quotes.append((prices, quote))
        if quote.most < self.most:
            self.most, self.gains, self.prices = quote.most, quote.gains, prices
        for task, gain in quote.gains.items():
            if quote.most - abs(gain) < self.least - HAIR:
                (self.must if gain > 0 else self.never).add(task)
        if quote.most < self.least - HAIR or self.must & self.never:
            self.possible = False


@dataclass(frozen=True, slots=True)
class Question:
    """Whether the aim can be reached from where a search stands."""

    goods: Market
    aim: Aim
    standing: Standing
    doubtful: frozenset[str] = frozenset()
    """Where only these are asked about, the question is answered once all of them must be covered."""

    def judged(self, starts: Iterable[Prices], rounds: int, meter: Meter) -> Verdict:
        """From the best of the starts prices are moved round by round until they prove something."""
        prices = min(starts, key=lambda one: self.quoted(one).most)
        verdict, drift = Verdict(self._least(), prices), None
        for _ in range(rounds):
            meter.step(1 + len(self.standing.kept) + len(self.standing.open))
            quote = self.quoted(prices)
            verdict.learn(quote, prices)
            drift = quote.over.blended(drift)
            steepness = drift.steepness
            if not verdict.possible or steepness < HAIR or self._answered(verdict):
                break
            prices = self._moved(prices, drift, (quote.most - verdict.least + _BELOW) / steepness)
        return verdict

    def _answered(self, verdict: Verdict) -> bool:
        return bool(self.doubtful) and self.doubtful <= verdict.must

    def _least(self) -> int:
        """As many as are certain must be reached anyhow."""
        certain = (*self.standing.kept, *self.standing.must)
        return max(
            self.aim.least, sum(self.aim.counts(self.goods.demands[task]) for task in certain)
        )

    def _moved(self, prices: Prices, drift: Over, step: float) -> Prices:
        kits, people = self.goods.kits.circles, self.goods.people.circles
        return Prices(
            _moved(prices.kits, drift.kits, step),
            _moved(prices.people, drift.people, step),
            {call: max(0.0, was - step * drift.calls[call]) for call, was in prices.calls.items()},
            _shifted(kits, prices.kit_parts, drift.kit_paid, step),
            _shifted(people, prices.person_parts, drift.person_paid, step),
        )

    def quoted(self, prices: Prices) -> Quote:
        goods, floors = self.goods, self.aim.floors
        paid = sum(prices.calls[call] * floor for call, floor in floors.items())
        most = _total(prices.kits, goods.kits) + _total(prices.people, goods.people) - paid
        over = Over(
            [float(count) for count in goods.kits.counts],
            [float(count) for count in goods.people.counts],
            {call: float(-floor) for call, floor in floors.items()},
        )
        gains = {}
        for task in (*self.standing.kept, *self.standing.open):
            demand, bill = goods.demands[task], self._cheapest(task, prices)
            called = demand.rank if demand.rank in floors else None
            gain = self.aim.counts(demand) - bill.cost + (prices.calls[called] if called else 0.0)
            certain = task in self.standing.kept or task in self.standing.must
            if not certain:
                gains[task] = gain
            if certain or gain > 0:
                most += gain
                over.take(task, bill)
                if called:
                    over.calls[called] += 1
        return Quote(most, over, gains)

    def _cheapest(self, task: str, prices: Prices) -> Bill:
        kept = self.standing.kept.get(task)
        kit_part, person_part = prices.kit_parts[task], prices.person_parts[task]
        cheapest: Bill | None = None
        for offer in self.goods.offers[task]:
            if kept is not None and offer.way.family != kept.family:
                continue
            kit_price, kit = min([(prices.kits[place], place) for place in offer.kits])
            hired, hire = _hired(offer, self.goods.people.counts, prices.people)
            cost = kit_part * kit_price + person_part * hire
            if cheapest is None or cost < cheapest.cost:
                cheapest = Bill(cost, kit, kit_price, kit_part, hired, hire, person_part)
        if cheapest is None:
            raise LookupError(task)
        return cheapest


def _total(prices: list[float], goods: Goods) -> float:
    return sum([price * count for price, count in zip(prices, goods.counts, strict=True)])


def _hired(
    offer: Offer, counts: tuple[int, ...], prices: list[float]
) -> tuple[list[tuple[int, int]], float]:
    """The cheapest people for one way, how many of which class, and what they cost."""
    need = offer.need
    if need == 0:
        return [], 0.0
    asked = [(prices[place], place) for place in offer.people]
    if need == 1:
        price, place = min(asked)
        return [(place, 1)], price
    hired, hire = [], 0.0
    for price, place in sorted(asked):
        many = min(need, counts[place])
        hired.append((place, many))
        hire += many * price
        need -= many
        if not need:
            break
    return hired, hire
