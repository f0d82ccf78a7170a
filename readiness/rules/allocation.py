"""Who gets what: the tasks every best allocation covers, and the single things they hang on."""

from __future__ import annotations

from dataclasses import dataclass

from readiness.rules.branching import Node, best_node, covered_by, ranks_of, value
from readiness.rules.demand import Contest, Demand, Resource, Way
from readiness.rules.seating import Meter, OutOfNodes, Request, seated

NODE_BUDGET = 20_000
"""Steps of one search; past it nothing in the contest counts as covered, or as backed up."""


@dataclass(frozen=True, slots=True)
class Serving:
    """What one task gets: `people` are tied up, `anchor` and `aiders` are not."""

    task: str
    kit: str
    people: tuple[str, ...]
    anchor: str
    aiders: tuple[str, ...]

    @property
    def uses(self) -> frozenset[Resource]:
        people = {Resource("person", one) for one in (*self.people, *self.aiders)}
        return frozenset({Resource("kit", self.kit), Resource("anchor", self.anchor)} | people)


@dataclass(frozen=True, slots=True)
class Solution:
    """`covered` are the tasks that every best allocation covers; `best` is one of these."""

    covered: frozenset[str]
    best: tuple[Serving, ...]
    finished: bool


@dataclass(frozen=True, slots=True)
class Hanging:
    """For each covered task the things whose loss, one at a time, would uncover it."""

    on: dict[str, frozenset[Resource]]
    finished: bool


def solve(contest: Contest, budget: int = NODE_BUDGET) -> Solution:
    try:
        return _solved(contest, Meter(budget))
    except OutOfNodes:
        return Solution(frozenset(), (), finished=False)


def _solved(contest: Contest, meter: Meter) -> Solution:
    node = best_node(contest, ranks_of(contest), meter)
    if node is None:
        return Solution(frozenset(), (), finished=True)
    held = covered_by(node, contest)
    covered = {demand.task for demand in held if _in_every_best(demand, node, contest, meter)}
    best = tuple(_serving(demand, held[demand], node) for demand in held)
    return Solution(frozenset(covered), best, finished=True)


def _in_every_best(demand: Demand, node: Node, contest: Contest, meter: Meter) -> bool:
    held = covered_by(node, contest)
    others = [one for one in contest.demands if one not in held]
    if not others:
        return True
    if any(_can_replace(demand, one, node, meter) for one in others):
        return False
    ranks = ranks_of(contest)
    rest = contest.without_task(demand.task)
    return best_node(rest, ranks, meter, value(held, ranks)) is None


def _can_replace(demand: Demand, other: Demand, node: Node, meter: Meter) -> bool:
    """A quick look: with nothing else let go, can the other take this one's turn?"""
    if demand.rank != other.rank:
        return False
    kits, people = node.kits.copy(), node.people.copy()
    kits.release(demand.task)
    people.release(demand.task)
    return any(
        seated(kits, other.task, Request(tuple(sorted(way.kits)), 1), meter) is not None
        and seated(people, other.task, Request(tuple(sorted(way.people)), way.need), meter)
        is not None
        for way in other.ways
    )


def _serving(demand: Demand, way: Way, node: Node) -> Serving:
    buddies = sorted(way.private)[: way.rescuers + 1 - way.need] if way.mutual else []
    people = (*sorted(node.people.of_task(demand.task)), *buddies)
    return Serving(
        task=demand.task,
        kit=node.kits.of_task(demand.task)[0],
        people=people,
        anchor=min(demand.anchors),
        aiders=_aiders(demand, people),
    )


def _aiders(demand: Demand, people: tuple[str, ...]) -> tuple[str, ...]:
    """One of the rescuers if possible, else another not exposed, else two who are."""
    free = sorted(demand.aiders, key=lambda one: (one not in people, one))
    return tuple(free[:1]) or tuple(sorted(demand.exposed_aiders)[:2])


def hanging(contest: Contest, solution: Solution, budget: int = NODE_BUDGET) -> Hanging:
    """Take each thing away and solve again.

    Only what the found allocation uses need be tried: if it does without a thing, then it is
    still best without it, and every best allocation left was best before.
    """
    on: dict[str, set[Resource]] = {task: set() for task in solution.covered}
    meter, finished = Meter(budget), True
    for lost in sorted(frozenset().union(*(one.uses for one in solution.best))):
        try:
            fallen = _fallen(contest, solution, lost, meter)
        except OutOfNodes:
            fallen, finished = solution.covered, False
        for task in fallen:
            on[task].add(lost)
    return Hanging({task: frozenset(things) for task, things in on.items()}, finished)


def _fallen(contest: Contest, solution: Solution, lost: Resource, meter: Meter) -> frozenset[str]:
    held = {one.task for one in solution.best}
    ranks = ranks_of(contest)
    worth = value([one for one in contest.demands if one.task in held], ranks)
    left = contest.without(lost)
    if best_node(left, ranks, meter, worth) is not None:
        return frozenset()
    return solution.covered - _solved(left, meter).covered
