"""One contest, or what is left of it once a thing is lost, asked one question after another.

The quick ways go first: an allocation at hand moved along is a witness that something can be had, and
prices quoted for an earlier question often prove that it cannot. Only then are prices looked for, and
only where they leave a gap are tasks branched on.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import partial

from readiness.rules.aims import Aim, Standing
from readiness.rules.allotment import Allotment, filled
from readiness.rules.bounds import HAIR, Question
from readiness.rules.branching import FIRST_ROUNDS, Branching
from readiness.rules.demand import Contest, Demand, Resource
from readiness.rules.known_prices import Known
from readiness.rules.market import NOTHING, Loss, Market, market
from readiness.rules.prices import Prices
from readiness.rules.proofs import Proof
from readiness.rules.seating import Meter
from readiness.rules.tariffs import Tariff, tariff


@dataclass(frozen=True, slots=True)
class Search:
    """`goods` are what is left of the `whole` without what is lost; proofs hold for the whole."""

    goods: Market
    whole: Market
    lost: Loss
    meter: Meter
    known: Known
    order: tuple[str, ...]
    """All tasks of the whole, first call first."""
    tariff: Tariff | None
    proofs: list[Proof] = field(default_factory=list)
    """Prices that were tried: each bounds whatever may be asked later, and for every loss."""

    def without(self, thing: Resource, meter: Meter) -> Search:
        goods, lost = self.whole.without(thing)
        return replace(self, goods=goods, lost=lost, meter=meter)

    def in_call_order(self) -> list[Demand]:
        return [self.goods.demands[task] for task in self.order if task in self.goods.demands]

    def demands(self, held: Allotment) -> Iterator[Demand]:
        return (self.goods.demands[task] for task in held.ways)

    def reaches(self, aim: Aim, held: Allotment) -> bool:
        return aim.reached(self.demands(held))

    def reach(self, aim: Aim, start: Allotment, among: Collection[str]) -> Allotment | None:
        """Covering tasks among these alone; None only where that is proven impossible."""
        if self.beyond(aim, among):
            return None
        order = [one for one in self.in_call_order() if one.task in among]
        held = filled(start, order, partial(self.reaches, aim))
        if self.reaches(aim, held):
            return held
        tasks = tuple(one.task for one in order)
        branching = Branching(
            self.goods, self.meter, self.known, self.order, self.tariff, self.lost
        )
        found = branching.reached(aim, tasks, held)
        if found is None:
            self._keep(aim, branching.told)
        return found

    def beyond(self, aim: Aim, among: Collection[str]) -> bool:
        """Whether the aim is proven already to be out of reach for these tasks."""
        goods = self.goods.demands
        if not aim.reached([one for one in goods.values() if one.task in among]):
            return True
        left_out = tuple(task for task in goods if task not in among)
        lost = replace(self.lost, tasks=(*self.lost.tasks, *left_out))
        return any(one.most(aim, lost) < aim.least - HAIR for one in self.proofs)

    def proven(self, aim: Aim, asked: frozenset[str]) -> frozenset[str]:
        """Those that prices quoted before prove to be in whatever reaches the aim."""
        found = set(self._needed(aim) & asked)
        for proof in self.proofs:
            spare = proof.most(aim, self.lost) - aim.least + HAIR
            found.update([one for one in asked if proof.quote.gains[one] > max(0.0, spare)])
        return frozenset(found)

    def _needed(self, aim: Aim) -> frozenset[str]:
        """Those without whom there are too few tasks left that could count at all."""
        goods = self.goods.demands
        calls = Counter(one.rank for one in goods.values())
        calls_full = {call for call, floor in aim.floors.items() if calls[call] <= floor}
        counted = sum(map(aim.counts, goods.values())) <= aim.least
        return frozenset(
            task
            for task, one in goods.items()
            if one.rank in calls_full or (counted and aim.counts(one))
        )

    def sure(self, aim: Aim, asked: frozenset[str]) -> frozenset[str]:
        """Of the tasks asked about, those that prices alone prove to be in whatever reaches the aim."""
        tasks = tuple(sorted(self.goods.demands))
        standing = Standing({}, tasks)
        question = Question(self.goods, aim, standing, asked, self.tariff, self.lost)
        verdict = question.judged(partial(self._starts, aim, tasks), FIRST_ROUNDS, self.meter)
        self._keep(aim, [prices for prices, _ in verdict.quotes])
        return frozenset(verdict.must & asked)

    def _starts(self, aim: Aim, tasks: tuple[str, ...]) -> Iterable[Prices]:
        """Those that came nearest before, or any that served."""
        moved = [one for one in self.proofs if one.prices.movable]
        if moved:
            return [min(moved, key=lambda one: one.most(aim, self.lost)).prices]
        return self.known.starts(self.goods, aim, tasks)

    def _keep(self, aim: Aim, found: Iterable[Prices]) -> None:
        """What the prices come to for all tasks at once."""
        whole = Question(self.whole, aim, Standing({}, tuple(sorted(self.whole.demands))))
        floors = dict(aim.floors)
        for one in found:
            prices = one.for_all(self.whole)
            self.proofs.append(Proof(aim.counted, floors, prices, whole.quoted(prices)))

    def swapped(self, aim: Aim, held: Allotment, task: str) -> Allotment | None:
        """Reaching the aim without a task, by moving along alone; None proves nothing."""
        order = [one for one in self.in_call_order() if one.task != task]
        other = filled(held.released(task), order, partial(self.reaches, aim))
        return other if self.reaches(aim, other) else None


def search(contest: Contest, meter: Meter) -> Search:
    goods = market(contest.demands, contest.mates)
    order = tuple(one.task for one in _in_call_order(goods))
    return Search(goods, goods, NOTHING, meter, Known(), order, tariff(goods))


def _in_call_order(goods: Market) -> list[Demand]:
    """First call first; then those that share with many; then those that ask for little."""

    def key(demand: Demand) -> tuple[object, ...]:
        need = min(way.need for way in demand.ways)
        choice = sum(len(way.kits) + len(way.people) for way in demand.ways)
        near = goods.kits.circles.breadth(demand.task)
        return (demand.rank is None, demand.rank or (), -near, need, choice, demand.task)

    return sorted(goods.demands.values(), key=key)
