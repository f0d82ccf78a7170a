"""Branch and bound over the tasks of one contest: the best allocation, exactly."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from readiness.rules.bounds import most_coverable
from readiness.rules.demand import Contest, Demand, Way
from readiness.rules.seating import Meter, Request, Seats, cells, seated

Value = tuple[float, ...]
"""Tasks covered at each rank of first call, lowest rank first, then tasks covered in all."""


@dataclass(frozen=True, slots=True)
class Node:
    at: int
    dropped: frozenset[str]
    ways: tuple[Way, ...]
    kits: Seats
    people: Seats
    bound: Value


@dataclass(slots=True)
class _Search:
    """Branch and bound over tasks: cover it by one of its ways, or let it go."""

    order: tuple[Demand, ...]
    ranks: tuple[int, ...]
    mates: dict[str, frozenset[str]]
    meter: Meter
    floor: Value
    goal: Value
    best: Node | None = field(default=None)

    def run(self) -> Node | None:
        """The best node above the floor, or the first that reaches the goal."""
        stack = [Node(0, frozenset(), (), Seats(self.mates), Seats(self.mates), self.goal)]
        while stack:
            node = stack.pop()
            if node.bound <= self.floor:
                continue
            self.meter.step()
            if node.at < len(self.order):
                stack.extend(self._children(node))
                continue
            self.best, self.floor = node, value(self._kept(node), self.ranks)
            if self.floor >= self.goal:
                break
        return self.best

    def _kept(self, node: Node) -> list[Demand]:
        return [one for one in self.order if one.task not in node.dropped]

    def _children(self, node: Node) -> list[Node]:
        """Last in, first out: the way out comes first, the likeliest way last."""
        demand = self.order[node.at]
        without = _dropped(node, demand, self._bound(node, demand))
        covering = [self._covering(node, demand, way) for way in reversed(demand.ways)]
        return [without, *(child for child in covering if child is not None)]

    def _bound(self, node: Node, gone: Demand) -> Value:
        kept = [one for one in self._kept(node) if one is not gone]
        *firsts, _ = value(kept, self.ranks)
        return (*firsts, most_coverable(kept, self.mates))

    def _covering(self, node: Node, demand: Demand, way: Way) -> Node | None:
        kit = Request(tuple(sorted(way.kits)), 1)
        kits = seated(node.kits, demand.task, kit, self.meter)
        if kits is None:
            return None
        team = Request(tuple(sorted(way.people)), way.need)
        people = seated(node.people, demand.task, team, self.meter)
        if people is None:
            return None
        return Node(node.at + 1, node.dropped, (*node.ways, way), kits, people, node.bound)


def _dropped(node: Node, demand: Demand, bound: Value) -> Node:
    gone = node.dropped | {demand.task}
    return Node(node.at + 1, gone, node.ways, node.kits, node.people, bound)


def value(covered: Iterable[Demand], ranks: tuple[int, ...]) -> Value:
    held = [demand.rank for demand in covered]
    return (*(held.count(rank) for rank in ranks), len(held))


def ranks_of(contest: Contest) -> tuple[int, ...]:
    return tuple(sorted({one.rank for one in contest.demands if one.rank is not None}))


def _order(contest: Contest, mates: dict[str, frozenset[str]]) -> tuple[Demand, ...]:
    """First call first; then large cells that share; then the least choosy."""
    size = {task: (-len(cell), min(cell)) for cell in cells(mates, mates) for task in cell}
    last = len(contest.demands) + max(ranks_of(contest), default=0)

    def key(one: Demand) -> tuple[object, ...]:
        rank = last if one.rank is None else one.rank
        need = min(way.need for way in one.ways)
        return (rank, size[one.task], need, len(one.wanted), one.task)

    return tuple(sorted(contest.demands, key=key))


def best_node(
    contest: Contest, ranks: tuple[int, ...], meter: Meter, at_least: Value | None = None
) -> Node | None:
    """One best allocation; or, asked for a value, one that reaches it or None."""
    mates = contest.mates
    ceiling = (*value(contest.demands, ranks)[:-1], most_coverable(contest.demands, mates))
    floor: Value = (-1.0,)
    if at_least is not None:
        if ceiling < at_least:
            return None
        floor, ceiling = (*at_least[:-1], at_least[-1] - 0.5), at_least
    search = _Search(_order(contest, mates), ranks, mates, meter, floor, ceiling)
    return search.run()


def covered_by(node: Node, contest: Contest) -> dict[Demand, Way]:
    """The demands a finished node covers, each with its way."""
    held = [one for one in _order(contest, contest.mates) if one.task not in node.dropped]
    return dict(zip(held, node.ways, strict=True))
