"""Branch and bound over the tasks of one contest: an allocation that reaches an aim, exactly."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace

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
from readiness.rules.bounds import HAIR, Aim, Question, Standing, Verdict
from readiness.rules.demand import Call, Contest, Demand, Way
from readiness.rules.market import Goods, Market, market
from readiness.rules.prices import Prices, first_prices
from readiness.rules.proofs import Proof
from readiness.rules.seating import Meter, seated

FIRST_ROUNDS = 60
LATER_ROUNDS = 15


@dataclass(frozen=True, slots=True)
class _Node:
    """`prices` are those that its parent ended with, to begin with; None at the root."""

    held: Allotment
    open: tuple[str, ...]
    must: frozenset[str]
    prices: Prices | None


@dataclass(slots=True)
class Known:
    """Prices that served before, by thing: good to start from, never needed."""

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


@dataclass(frozen=True, slots=True)
class Search:
    """Everything that stays the same while one contest is searched for one aim after another."""

    contest: Contest
    goods: Market
    meter: Meter
    known: Known
    proofs: list[Proof] = field(default_factory=list)
    """Prices that were tried for all tasks at once: each bounds whatever may be asked later."""

    def reach(self, aim: Aim, start: Allotment, among: Collection[str]) -> Allotment | None:
        """Covering tasks among these alone; None only where that is proven impossible."""
        order = [one for one in self.in_call_order() if one.task in among]
        held = filled(start, order)
        if aim.reached(self._demands(held)):
            return held
        return self._branched(aim, tuple(one.task for one in order), held)

    def sure(self, aim: Aim, asked: frozenset[str]) -> frozenset[str]:
        """Of the tasks asked about, those that prices alone prove to be in whatever reaches the aim."""
        tasks = tuple(sorted(self.goods.demands))
        question = Question(self.goods, aim, Standing({}, tasks), asked)
        verdict = question.judged(
            self.known.starts(self.goods, aim, tasks), FIRST_ROUNDS, self.meter
        )
        self.proofs.extend(Proof(dict(aim.floors), *one) for one in verdict.quotes)
        return frozenset(verdict.must & asked)

    def swapped(self, aim: Aim, held: Allotment, task: str) -> Allotment | None:
        """Reaching the aim without a task, by moving along alone; None proves nothing."""
        order = [one for one in self.in_call_order() if one.task != task]
        other = filled(held.released(task), order)
        return other if aim.reached(self._demands(other)) else None

    def in_call_order(self) -> list[Demand]:
        return _in_call_order(self.goods)

    def _demands(self, held: Allotment) -> Iterator[Demand]:
        return (self.goods.demands[task] for task in held.ways)

    def _branched(self, aim: Aim, tasks: tuple[str, ...], start: Allotment) -> Allotment | None:
        nothing = nothing_yet(self.contest.mates)
        root = _Node(nothing, tasks, frozenset(), None)
        stack = [root]
        while stack:
            node = stack.pop()
            verdict = self._judged(aim, node)
            narrowed = self._narrowed(node, verdict) if verdict.possible else None
            if narrowed is None:
                continue
            if node is root:
                full = self._pressed(start, tasks)
                if aim.reached(self._demands(full)):
                    return full
            full = self._pressed(self._completed(narrowed, verdict), tasks)
            if aim.reached(self._demands(full)):
                return full
            stack.extend(self._children(narrowed, verdict))
        return None

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
        question = Question(self.goods, aim, standing)
        if node.prices is not None:
            return question.judged([node.prices], LATER_ROUNDS, self.meter, HAIR)
        verdict = question.judged(
            self.known.starts(self.goods, aim, node.open), FIRST_ROUNDS, self.meter
        )
        self.known.keep(self.goods, verdict.prices)
        return verdict

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
        self.meter.step(40 * len(node.open))
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
            doubtful, key=lambda one: (not self.contest.mates[one], abs(verdict.gains[one]), one)
        )
        left = tuple(other for other in node.open if other != task)
        out = replace(node, open=left, prices=self._passed_on(node, left, verdict.prices))
        in_ = replace(node, must=node.must | {task}, prices=verdict.prices)
        return [out, in_] if verdict.gains[task] > HAIR else [in_, out]

    def _by_way(self, node: _Node, verdict: Verdict) -> list[_Node]:
        children = []
        for task in node.open[:1]:
            for way in reversed(self.goods.demands[task].ways):
                held = self._covering(node.held, task, way)
                if held is not None:
                    children.append(
                        replace(node, held=held, open=node.open[1:], prices=verdict.prices)
                    )
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


def search(contest: Contest, meter: Meter, known: Known | None = None) -> Search:
    return Search(contest, market(contest.demands, contest.mates), meter, known or Known())


def _in_call_order(goods: Market) -> list[Demand]:
    """First call first; then those that share with many; then those that ask for little."""

    def key(demand: Demand) -> tuple[object, ...]:
        need = min(way.need for way in demand.ways)
        choice = sum(len(way.kits) + len(way.people) for way in demand.ways)
        near = goods.kits.circles.breadth(demand.task)
        return (demand.rank is None, demand.rank or (), -near, need, choice, demand.task)

    return sorted(goods.demands.values(), key=key)


def best_allotment(
    look: Search, start: Allotment | None = None, beyond: Aim | None = None
) -> tuple[Allotment, Aim]:
    """One of the best there are, and the aim that just these reach: call by call, then in all.

    `beyond` is an aim known to be out of reach, though not more than what it asks could be had.
    """
    demands = look.goods.demands
    held = filled(start or nothing_yet(look.contest.mates), _in_call_order(look.goods))
    calls = sorted({one.rank for one in demands.values() if one.rank is not None})
    floors: dict[Call, int] = {}
    for call in (*calls, None):
        among = _up_to(call, demands.values())
        counted = [task for task in among if call is None or demands[task].rank == call]
        most = _most(len(counted), call, floors, beyond)
        while True:
            least = sum(task in held.ways for task in counted)
            better = None
            if least < most:
                better = look.reach(Aim(dict(floors), call, least + 1), _only(held, among), among)
            if better is None:
                break
            held = better
        if call is not None:
            floors[call] = least
    return held, Aim(floors, None, len(held.ways))


def _most(counted: int, call: Call | None, floors: Mapping[Call, int], beyond: Aim | None) -> int:
    """At most so many of those counted, as far as is known beforehand."""
    if beyond is None or any(beyond.floors.get(one) != floor for one, floor in floors.items()):
        return counted
    if call is not None:
        return min(counted, beyond.floors.get(call, counted))
    whole = floors.keys() == beyond.floors.keys()
    return min(counted, beyond.least - 1) if whole else counted


def _up_to(call: Call | None, demands: Collection[Demand]) -> frozenset[str]:
    """Later calls are no matter while an earlier one is being settled."""
    return frozenset(
        one.task for one in demands if call is None or (one.rank is not None and one.rank <= call)
    )


def _only(held: Allotment, among: Collection[str]) -> Allotment:
    for task in held.ways.keys() - set(among):
        held = held.released(task)
    return held
