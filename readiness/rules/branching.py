"""Branch and bound over the tasks of one contest: the best allocation, exactly."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from readiness.rules.allotment import (
    Allotment,
    any_kit,
    anybody,
    filled,
    inserted,
    kit_request,
    nothing_yet,
    people_request,
)
from readiness.rules.bounds import most_coverable
from readiness.rules.demand import Contest, Demand, Way
from readiness.rules.seating import Meter, Seats, cells, seated

Value = tuple[float, ...]
"""Tasks covered at each rank of first call, lowest rank first, then tasks covered in all."""


@dataclass(frozen=True, slots=True)
class _Node:
    """`bound` may be its parent's; it is looked at closely once the node's turn comes."""

    at: int
    dropped: frozenset[str]
    held: Allotment
    bound: Value
    close: bool


@dataclass(slots=True)
class _Search:
    """Cover each task in turn by one of its ways, or let it go."""

    order: tuple[Demand, ...]
    ranks: tuple[int, ...]
    mates: Mapping[str, frozenset[str]]
    meter: Meter
    floor: Value
    goal: Value
    best: Allotment | None = field(default=None)

    def run(self) -> Allotment | None:
        """The best allotment above the floor, or the first that reaches the goal."""
        stack = [_Node(0, frozenset(), nothing_yet(self.mates), self.goal, close=True)]
        while stack and self.floor < self.goal:
            node = stack.pop()
            if node.bound <= self.floor:
                continue
            self.meter.step(len(self.order))
            node = self._looked_at(node)
            if node.bound <= self.floor:
                continue
            if node.at < len(self.order):
                stack.extend(self._children(node))
            else:
                self.best, self.floor = node.held, value(self._kept(node), self.ranks)
        return self.best

    def _kept(self, node: _Node) -> list[Demand]:
        return [one for one in self.order if one.task not in node.dropped]

    def _children(self, node: _Node) -> list[_Node]:
        """Last in, first out: letting go comes first, the likeliest way last."""
        demand = self.order[node.at]
        gone = node.dropped | {demand.task}
        without = _Node(node.at + 1, gone, node.held, node.bound, close=False)
        covering = [self._covering(node, demand, way) for way in reversed(demand.ways)]
        return [without, *(child for child in covering if child is not None)]

    def _looked_at(self, node: _Node) -> _Node:
        if node.close:
            return node
        bound = most_worth(self._kept(node), self.ranks, self.mates, self.meter)
        return replace(node, bound=min(bound, node.bound), close=True)

    def _covering(self, node: _Node, demand: Demand, way: Way) -> _Node | None:
        task, held = demand.task, node.held
        kits = seated(held.kits, task, kit_request(way), self.meter)
        people = kits and seated(held.people, task, people_request(way), self.meter)
        if not kits or not people:
            return None
        more = Allotment({**held.ways, task: way}, kits, people)
        return _Node(node.at + 1, node.dropped, more, node.bound, close=True)


def value(covered: Iterable[Demand], ranks: tuple[int, ...]) -> Value:
    held = [demand.rank for demand in covered]
    return (*(held.count(rank) for rank in ranks), len(held))


def most_worth(
    kept: list[Demand],
    ranks: tuple[int, ...],
    mates: Mapping[str, frozenset[str]],
    meter: Meter,
) -> Value:
    """No allocation of these is worth more."""
    most = most_coverable(kept, mates)
    if most == len(kept) and not _all_fit(kept, mates, meter):
        most -= 1
    return (*value(kept, ranks)[:-1], most)


def _all_fit(kept: list[Demand], mates: Mapping[str, frozenset[str]], meter: Meter) -> bool:
    """Whether the kits, and the people, would do if their families were no matter."""
    kits: Seats | None = Seats(mates)
    people: Seats | None = Seats(mates)
    for demand in kept:
        kits = kits and seated(kits, demand.task, any_kit(demand), meter)
        people = people and seated(people, demand.task, anybody(demand), meter)
    return bool(kits and people)


def ranks_of(contest: Contest) -> tuple[int, ...]:
    return tuple(sorted({one.rank for one in contest.demands if one.rank is not None}))


def _order(contest: Contest, mates: Mapping[str, frozenset[str]]) -> tuple[Demand, ...]:
    """First call first; then large cells that share; then the least choosy."""
    size = {task: (-len(cell), min(cell)) for cell in cells(mates, mates) for task in cell}
    last = max(ranks_of(contest), default=0) + 1

    def key(one: Demand) -> tuple[object, ...]:
        rank = last if one.rank is None else one.rank
        need = min(way.need for way in one.ways)
        choice = sum(len(way.kits) + len(way.people) for way in one.ways)
        return (rank, size[one.task], need, choice, one.task)

    return tuple(sorted(contest.demands, key=key))


def best_allotment(
    contest: Contest, ranks: tuple[int, ...], meter: Meter, start: Allotment | None = None
) -> Allotment:
    """One of the best there are."""
    mates = contest.mates
    order = _order(contest, mates)
    ceiling = most_worth(list(order), ranks, mates, meter)
    first = filled(start or nothing_yet(mates), order, len(order))
    floor = worth(first, contest, ranks)
    return _Search(order, ranks, mates, meter, floor, ceiling).run() or first


def reaches(
    contest: Contest, ranks: tuple[int, ...], goal: Value, meter: Meter, start: Allotment
) -> bool:
    """Whether some allocation is worth as much as the goal, which none exceeds."""
    mates = contest.mates
    order = _order(contest, mates)
    steps = (inserted(start, one) for one in order if one.task not in start.ways)
    if any(more is not None and worth(more, contest, ranks) >= goal for more in steps):
        return True
    if most_worth(list(order), ranks, mates, meter) < goal:
        return False
    if worth(filled(start, order, int(goal[-1])), contest, ranks) >= goal:
        return True
    just_below = (*goal[:-1], goal[-1] - 0.5)
    return _Search(order, ranks, mates, meter, just_below, goal).run() is not None


def worth(held: Allotment, contest: Contest, ranks: tuple[int, ...]) -> Value:
    return value([one for one in contest.demands if one.task in held.ways], ranks)
