"""Branch and bound over the tasks of one contest: an allocation that reaches an aim, exactly."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import partial

from readiness.rules.aims import Aim, Standing
from readiness.rules.allotment import (
    Allotment,
    filled,
    gathered,
    inserted,
    kit_request,
    made_room,
    nothing_yet,
    people_request,
)
from readiness.rules.bounds import HAIR, Question, Verdict
from readiness.rules.demand import Demand, Way
from readiness.rules.known_prices import Known
from readiness.rules.market import Loss, Market
from readiness.rules.prices import Prices
from readiness.rules.seating import Meter, seated
from readiness.rules.tariffs import Tariff

FIRST_ROUNDS = 60
LATER_ROUNDS = 15

_COMPLETING = (40, 15)
"""Steps for each task that is still open at a node, with pressing and, where a tariff tells, without."""


@dataclass(frozen=True, slots=True)
class _Node:
    """`prices` are those that its parent ended with, to begin with; None at the root."""

    held: Allotment
    open: tuple[str, ...]
    must: frozenset[str]
    prices: Prices | None


@dataclass(frozen=True, slots=True)
class Branching:
    """What stays the same while one contest is searched for one aim."""

    goods: Market
    meter: Meter
    known: Known
    order: tuple[str, ...]
    """All tasks, first call first."""
    tariff: Tariff | None
    lost: Loss
    told: list[Prices] = field(default_factory=list)
    """The prices at the root: they bound what can be had without anything decided."""

    def _demands(self, held: Allotment) -> Iterator[Demand]:
        return (self.goods.demands[task] for task in held.ways)

    def reached(self, aim: Aim, tasks: tuple[str, ...], start: Allotment) -> Allotment | None:
        """Covering tasks among these alone; None only where that is proven impossible."""
        root = _Node(nothing_yet(self.goods.mates), tasks, frozenset(), None)
        stack = [root]
        while stack:
            node = stack.pop()
            verdict = self._judged(aim, node)
            if node is root:
                self.told.append(verdict.prices)
            narrowed = self._narrowed(node, verdict) if verdict.possible else None
            if narrowed is None:
                continue
            if node is root:
                full = self._pressed(start, tasks)
                if aim.reached(self._demands(full)):
                    return full
            for full in self._tries(node, narrowed, verdict):
                if aim.reached(self._demands(full)):
                    return full
            stack.extend(self._children(narrowed, verdict))
        return None

    def _tries(self, node: _Node, narrowed: _Node, verdict: Verdict) -> Iterator[Allotment]:
        """Pressing for one more takes long, and is not worth it where a tariff shows the way."""
        if self.tariff is None:
            yield self._pressed(self._completed(narrowed, verdict), node.open)
        else:
            yield self._leaned(node)
            yield self._completed(narrowed, verdict)

    def _pressed(self, held: Allotment, tasks: tuple[str, ...]) -> Allotment:
        """A good deal of trouble taken to get one more in."""
        demands = {task: self.goods.demands[task] for task in tasks}
        for _ in tasks:
            fuller = filled(gathered(held, demands, self.goods.kits.circles.sets), demands.values())
            if len(fuller.ways) == len(held.ways):
                break
            held = fuller
        return made_room(fuller, demands)

    def _judged(self, aim: Aim, node: _Node) -> Verdict:
        standing = Standing(node.held.ways, node.open, node.must & set(node.open))
        question = Question(self.goods, aim, standing, tariff=self.tariff, lost=self.lost)
        prices = node.prices
        if prices is not None:
            return question.judged(lambda: [prices], LATER_ROUNDS, self.meter, HAIR)
        starts = partial(self.known.starts, self.goods, aim, node.open)
        verdict = question.judged(starts, FIRST_ROUNDS, self.meter)
        if verdict.prices.movable:
            self.known.keep(self.goods, verdict.prices)
        return verdict

    def _leaned(self, node: _Node) -> Allotment:
        """Where the tariff last leant to, as far as it can be seated; then whatever else will go in."""
        held = nothing_yet(self.goods.mates)
        if self.tariff is None:
            return held
        families = self.tariff.leaning()
        families.update({task: way.family for task, way in node.held.ways.items()})
        held = filled(held, self._narrow(families))
        open_ = set(node.open)
        return filled(held, (self.goods.demands[task] for task in self.order if task in open_))

    def _narrow(self, families: Mapping[str, str]) -> Iterator[Demand]:
        """The tasks with that way alone that takes a kit of the family."""
        for task in self.order:
            if task in families:
                demand = self.goods.demands[task]
                ways = tuple(way for way in demand.ways if way.family == families[task])
                yield replace(demand, ways=ways)

    def _narrowed(self, node: _Node, verdict: Verdict) -> _Node | None:
        """What the prices proved is done: no task left open that must be in, or cannot be."""
        held, must = node.held, node.must | verdict.must
        if must & verdict.never:
            return None
        left = []
        for task in node.open:
            ways = self.goods.demands[task].ways
            if task in must and len(ways) == 1:
                more = self._covering(held, task, ways[0])
                if more is None:
                    return None
                held = more
            elif task not in verdict.never:
                left.append(task)
        return replace(node, held=held, open=tuple(left), must=must)

    def _completed(self, node: _Node, verdict: Verdict) -> Allotment:
        """As many more as will go in, those that gain most first."""
        held = node.held
        self.meter.step(_COMPLETING[self.tariff is not None] * len(node.open))
        for task in sorted(
            node.open, key=lambda one: (one not in node.must, -verdict.gains.get(one, 0.0), one)
        ):
            held = inserted(held, self.goods.demands[task]) or held
        return held

    def _children(self, node: _Node, verdict: Verdict) -> list[_Node]:
        """Last in, first out: what gains is first covered, what does not is first let go."""
        doubtful = [one for one in node.open if one not in node.must]
        if not doubtful:
            return self._by_way(node, verdict)
        task = min(
            doubtful, key=lambda one: (not self.goods.mates[one], abs(verdict.gains[one]), one)
        )
        left = tuple(other for other in node.open if other != task)
        prices = verdict.prices if verdict.prices.movable else None
        in_ = replace(node, must=node.must | {task}, prices=prices)
        if prices is not None:
            prices = self._passed_on(node, left, prices)
        out = replace(node, open=left, prices=prices)
        return [out, in_] if verdict.gains[task] > HAIR else [in_, out]

    def _by_way(self, node: _Node, verdict: Verdict) -> list[_Node]:
        children = []
        for task in node.open[:1]:
            for way in reversed(self.goods.demands[task].ways):
                held = self._covering(node.held, task, way)
                if held is not None:
                    prices = verdict.prices if verdict.prices.movable else None
                    children.append(replace(node, held=held, open=node.open[1:], prices=prices))
        return children

    def _passed_on(self, node: _Node, left: tuple[str, ...], prices: Prices) -> Prices:
        """What the task let go no longer pays, others pay."""
        tasks = {*node.held.ways, *left}
        kits, people = self.goods.kits.circles, self.goods.people.circles
        return replace(
            prices,
            kit_parts=kits.filled({one: prices.kit_parts[one] for one in tasks}),
            person_parts=people.filled({one: prices.person_parts[one] for one in tasks}),
        )

    def _covering(self, held: Allotment, task: str, way: Way) -> Allotment | None:
        self.meter.step(1 + len(held.ways))
        kits = seated(held.kits, task, kit_request(way), self.meter)
        people = kits and seated(held.people, task, people_request(way), self.meter)
        if not kits or not people:
            return None
        return Allotment({**held.ways, task: way}, kits, people)
