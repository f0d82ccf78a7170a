"""How much could be covered at most, told by prices: never too low, and mostly exact.

Put a price on every kit and every person. Whatever the prices are, no allocation is worth more than
what all kits and people cost together and what is left of each task's worth once it has paid for the
cheapest it could take (Lagrangian relaxation). Prices go up where too many ask and down where too
few do; what must be covered, or cannot be, shows on the way.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from readiness.rules.bids import Blur, bills, covered_in_part
from readiness.rules.demand import Call, Demand, Way
from readiness.rules.market import Goods, Market
from readiness.rules.prices import Over, Prices, moved
from readiness.rules.seating import Meter

HAIR = 1e-6
"""Far more than the rounding of such sums can come to, far less than one task."""

BLUR, FADES = 0.2, 0.95
"""Of one task: prices so near one another count as alike in the first round, and then ever less."""

_BELOW = 0.2
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

    def judged(
        self, starts: Iterable[Prices], rounds: int, meter: Meter, blur: float = BLUR
    ) -> Verdict:
        """From the best of the starts prices are moved round by round until they prove something."""
        prices = min(starts, key=lambda one: self.quoted(one).most)
        verdict, drift = Verdict(self._least(), prices), None
        for _ in range(rounds):
            meter.step(1 + len(self.standing.kept) + len(self.standing.open))
            quote = self.quoted(prices, blur)
            blur = max(HAIR, blur * FADES)
            verdict.learn(quote, prices)
            drift = quote.over.blended(drift)
            steepness = drift.steepness(prices)
            if not verdict.possible or steepness < HAIR or self._answered(verdict):
                break
            step = (quote.most - verdict.least + _BELOW) / steepness
            prices = moved(prices, drift, step, self.goods)
        return verdict

    def _answered(self, verdict: Verdict) -> bool:
        return bool(self.doubtful) and self.doubtful <= verdict.must

    def _least(self) -> int:
        """As many as are certain must be reached anyhow."""
        certain = (*self.standing.kept, *self.standing.must)
        return max(
            self.aim.least, sum(self.aim.counts(self.goods.demands[task]) for task in certain)
        )

    def quoted(self, prices: Prices, blur: float = HAIR) -> Quote:
        """The bound is exact at the prices; which way they move is told by the blur."""
        goods, floors = self.goods, self.aim.floors
        paid = sum(prices.calls[call] * floor for call, floor in floors.items())
        most = _total(prices.kits, goods.kits) + _total(prices.people, goods.people) - paid
        over = Over(
            [float(count) for count in goods.kits.counts],
            [float(count) for count in goods.people.counts],
            {call: float(-floor) for call, floor in floors.items()},
        )
        gains, blurred = {}, Blur(goods, prices, blur)
        for task in (*self.standing.kept, *self.standing.open):
            demand, way = goods.demands[task], self.standing.kept.get(task)
            asked = bills(task, None if way is None else way.family, prices, goods)
            called = demand.rank if demand.rank in floors else None
            gain = self.aim.counts(demand) - min([bill.cost for bill in asked])
            gain += prices.calls[called] if called else 0.0
            certain = way is not None or task in self.standing.must
            if not certain:
                gains[task] = gain
            most += gain if certain or gain > 0 else 0.0
            share = 1.0 if certain else covered_in_part(gain, blurred.width)
            if share:
                blurred.take(task, asked, share, over)
                if called:
                    over.calls[called] += share
        return Quote(most, over, gains)


def _total(prices: list[float], goods: Goods) -> float:
    return sum([price * count for price, count in zip(prices, goods.counts, strict=True)])
