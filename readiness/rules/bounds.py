"""How much could be covered at most, told by prices: never too low, and mostly exact.

Put a price on every kit and every person. Whatever the prices are, no allocation is worth more than
what all kits and people cost together and what is left of each task's worth once it has paid for the
cheapest it could take (Lagrangian relaxation). Prices go up where too many ask and down where too
few do; what must be covered, or cannot be, shows on the way. A `Tariff` tells the best at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from readiness.rules.aims import Aim, Standing
from readiness.rules.bids import Blur, bills, cheapest, covered_in_part
from readiness.rules.market import NOTHING, Goods, Loss, Market
from readiness.rules.prices import Over, Prices, moved
from readiness.rules.seating import Meter
from readiness.rules.tariffs import Tariff

HAIR = 1e-6
"""Far more than the rounding of such sums can come to, far less than one task."""

BLUR, FADES = 0.2, 0.95
"""Of one task: prices so near one another count as alike in the first round, and then ever less."""

_BELOW = 0.2
"""The bound is driven to this much under one task less than the aim asks: well within proof."""


ROUNDS_OF_A_TARIFF = 5
"""As many rounds of moving prices as one question to a tariff is counted for."""


@dataclass(slots=True)
class Quote:
    """The bound at some prices, and what each open task gains by being covered."""

    most: float
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
    tariff: Tariff | None = None
    lost: Loss = NOTHING
    """What `goods` are less than those of the tariff."""

    def judged(
        self,
        starts: Callable[[], Iterable[Prices]],
        rounds: int,
        meter: Meter,
        blur: float = BLUR,
    ) -> Verdict:
        """By the best prices where somebody tells them; else by prices that are moved."""
        if self.tariff is not None:
            meter.step(ROUNDS_OF_A_TARIFF * self._size)
            prices = self.tariff.prices(self.aim, self.standing, self.lost)
            if prices is not None:
                verdict = Verdict(self._least(), prices)
                verdict.learn(self.quoted(prices), prices)
                return verdict
        return self._haggled(starts(), rounds, meter, blur)

    @property
    def _size(self) -> int:
        return 1 + len(self.standing.kept) + len(self.standing.open)

    def _haggled(self, starts: Iterable[Prices], rounds: int, meter: Meter, blur: float) -> Verdict:
        """From the best of the starts prices are moved round by round until they prove something."""
        prices = min(starts, key=lambda one: self.quoted(one).most)
        verdict, drift = Verdict(self._least(), prices), None
        for _ in range(rounds):
            meter.step(self._size)
            quote, over = self._asked_for(prices, blur)
            blur = max(HAIR, blur * FADES)
            verdict.learn(quote, prices)
            drift = over.blended(drift)
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

    def quoted(self, prices: Prices) -> Quote:
        """What the prices prove, exactly."""
        most, gains = self._paid(prices), {}
        for task in (*self.standing.kept, *self.standing.open):
            way = self.standing.kept.get(task)
            cost = cheapest(task, None if way is None else way.family, prices, self.goods)
            gain = self._worth(task, prices) - cost
            if way is None and task not in self.standing.must:
                gains[task] = gain
                most += gain if gain > 0 else 0.0
            else:
                most += gain
        return Quote(most, gains)

    def _paid(self, prices: Prices) -> float:
        """For all there is, less what the floors bring."""
        paid = sum([prices.calls[call] * floor for call, floor in self.aim.floors.items()])
        return (
            _total(prices.kits, self.goods.kits) + _total(prices.people, self.goods.people) - paid
        )

    def _worth(self, task: str, prices: Prices) -> float:
        rank, aim = self.goods.demands[task].rank, self.aim
        called = prices.calls[rank] if rank is not None and rank in aim.floors else 0.0
        return called + (aim.counted is None or rank == aim.counted)

    def _asked_for(self, prices: Prices, blur: float) -> tuple[Quote, Over]:
        """The bound is exact at the prices; which way they move is told by the blur."""
        goods, floors = self.goods, self.aim.floors
        most = self._paid(prices)
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
            gain = self._worth(task, prices) - min([bill.cost for bill in asked])
            certain = way is not None or task in self.standing.must
            if not certain:
                gains[task] = gain
            most += gain if certain or gain > 0 else 0.0
            share = 1.0 if certain else covered_in_part(gain, blurred.width)
            if share:
                blurred.take(task, asked, share, over)
                if called:
                    over.calls[called] += share
        return Quote(most, gains), over


def _total(prices: list[float], goods: Goods) -> float:
    return sum([price * count for price, count in zip(prices, goods.counts, strict=True)])
