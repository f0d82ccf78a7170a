"""Who gets what: the tasks every best allocation covers, and the single things they hang on."""

from __future__ import annotations

from dataclasses import dataclass, field

from readiness.rules.allotment import Allotment
from readiness.rules.branching import best_allotment, ranks_of, reaches, value, worth
from readiness.rules.demand import Contest, Demand, Resource
from readiness.rules.seating import Meter, OutOfNodes

NODE_BUDGET = 40_000
"""Steps of one search, each as long as the tasks or places it looks at; past it nothing in the contest counts as covered, or as backed up."""


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
    allotment: Allotment | None = field(default=None, compare=False)

    @property
    def tasks(self) -> frozenset[str]:
        return frozenset(one.task for one in self.best)


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


def _solved(
    contest: Contest,
    meter: Meter,
    start: Allotment | None = None,
    among: frozenset[str] | None = None,
) -> Solution:
    """Of the tasks found covered, those asked about are proven to be so in every best."""
    held = best_allotment(contest, ranks_of(contest), meter, start)
    asked = held.ways if among is None else among & set(held.ways)
    covered = {task for task in asked if _in_every_best(task, held, contest, meter)}
    best = (_serving(one, held) for one in contest.demands if one.task in held.ways)
    return Solution(frozenset(covered), tuple(best), finished=True, allotment=held)


def _in_every_best(task: str, held: Allotment, contest: Contest, meter: Meter) -> bool:
    """No other allocation is worth as much without this task."""
    if len(held.ways) == len(contest.demands):
        return True
    ranks = ranks_of(contest)
    goal = worth(held, contest, ranks)
    rest, start = contest.without_task(task), held.released(task)
    return not reaches(rest, ranks, goal, meter, start)


def _serving(demand: Demand, held: Allotment) -> Serving:
    way, task = held.ways[demand.task], demand.task
    buddies = sorted(way.private)[: way.rescuers + 1 - way.need] if way.mutual else []
    people = (*sorted(held.people.of_task(task)), *buddies)
    return Serving(
        task=task,
        kit=held.kits.of_task(task)[0],
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
    ranks, left = ranks_of(contest), contest.without(lost)
    start = _start_without(solution, left, lost)
    if start is None:
        return solution.covered
    goal = value([one for one in contest.demands if one.task in solution.tasks], ranks)
    if reaches(left, ranks, goal, meter, start):
        return frozenset()
    return solution.covered - _solved(left, meter, start, solution.covered).covered


def _start_without(solution: Solution, left: Contest, lost: Resource) -> Allotment | None:
    """What of the solution still stands, for the tasks that still could be covered."""
    held = solution.allotment
    if held is None:
        return None
    held = held.without(lost)
    for task in set(held.ways) - {one.task for one in left.demands}:
        held = held.released(task)
    ways = {(one.task, way.family): way for one in left.demands for way in one.ways}
    return Allotment(
        {task: ways[task, way.family] for task, way in held.ways.items()}, held.kits, held.people
    )
