"""Who gets what: the tasks every best allocation covers, and the single things they hang on."""

from __future__ import annotations

from dataclasses import dataclass, field

from readiness.rules.allotment import Allotment, inserted, nothing_yet
from readiness.rules.bounds import Aim
from readiness.rules.branching import Known, Search, best_allotment, search
from readiness.rules.demand import Contest, Demand, Resource
from readiness.rules.seating import Meter, OutOfNodes

NODE_BUDGET = 100_000
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
    aim: Aim | None = field(default=None, compare=False)
    """What just the best allocations reach."""
    indispensable: frozenset[Resource] = frozenset()
    """What each of the best allocations found uses; anything else can be lost without harm."""
    known: Known | None = field(default=None, compare=False)


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
    look = search(contest, meter)
    held, aim = best_allotment(look)
    equals = [held]
    covered = _in_every_best(look, aim, equals, frozenset(held.ways))
    best = _servings(contest, held)
    needed = frozenset[Resource]().union(*(one.uses for one in best))
    for equal in equals[1:]:
        needed &= frozenset[Resource]().union(*(one.uses for one in _servings(contest, equal)))
    return Solution(covered, best, True, held, aim, needed, look.known)


def _servings(contest: Contest, held: Allotment) -> tuple[Serving, ...]:
    return tuple(_serving(one, held) for one in contest.demands if one.task in held.ways)


def _in_every_best(
    look: Search, aim: Aim, equals: list[Allotment], asked: frozenset[str]
) -> frozenset[str]:
    """Those without which nothing is worth as much; what is as much worth is kept in `equals`."""
    held, everybody = equals[0], frozenset(look.goods.demands)
    if not asked or len(held.ways) == len(everybody):
        return asked
    proven = look.sure(aim, held) & asked
    doubtful = sorted(asked - proven)
    for task in doubtful:
        if all(task in one.ways for one in equals):
            other = look.reach(aim, held.released(task), everybody - {task})
            if other is None:
                proven |= {task}
            else:
                equals.append(other)
    return proven


def _serving(demand: Demand, held: Allotment) -> Serving:
    way, task = held.ways[demand.task], demand.task
    people = (*sorted(held.people.of_task(task)), *way.buddies)
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
    """Take each thing away and solve again; things alike for everybody, only one of them.

    Only what every best allocation found uses need be tried: if one does without a thing, then it
    is still best without it, and every best allocation left was best before.
    """
    on: dict[str, set[Resource]] = {task: set() for task in solution.covered}
    meter, finished = Meter(budget), True
    known: dict[object, frozenset[str]] = {}
    for lost in sorted(solution.indispensable):
        alike = _likeness(contest, lost)
        if alike not in known:
            try:
                known[alike] = _fallen(contest, solution, lost, meter)
            except OutOfNodes:
                known[alike], finished = solution.covered, False
        for task in known[alike]:
            on[task].add(lost)
    return Hanging({task: frozenset(things) for task, things in on.items()}, finished)


def _likeness(contest: Contest, thing: Resource) -> tuple[object, ...]:
    """The same for two things just where changing them for one another changes no demand."""
    return (thing.kind, *(demand.roles_of(thing) for demand in contest.demands))


def _fallen(contest: Contest, solution: Solution, lost: Resource, meter: Meter) -> frozenset[str]:
    left = contest.without(lost)
    start = _start_without(solution, left, lost)
    if _made_good(start, left, solution):
        return frozenset()
    look = search(left, meter, solution.known)
    if solution.aim is None or look.reach(solution.aim, start, frozenset(look.goods.demands)):
        return frozenset()
    held, aim = best_allotment(look, start)
    still = solution.covered & frozenset(held.ways)
    return solution.covered - _in_every_best(look, aim, [held], still)


def _made_good(start: Allotment, left: Contest, solution: Solution) -> bool:
    """Whether all tasks of the solution find a place again, others moved along."""
    lacking = {one.task for one in solution.best} - set(start.ways)
    for demand in left.demands:
        if demand.task in lacking:
            more = inserted(start, demand)
            if more is None:
                return False
            start, lacking = more, lacking - {demand.task}
    return not lacking


def _start_without(solution: Solution, left: Contest, lost: Resource) -> Allotment:
    """What of the solution still stands, for the tasks that still could be covered."""
    held = solution.allotment or nothing_yet(left.mates)
    held = held.without(lost)
    for task in set(held.ways) - {one.task for one in left.demands}:
        held = held.released(task)
    ways = {(one.task, way.family): way for one in left.demands for way in one.ways}
    return Allotment(
        {task: ways[task, way.family] for task, way in held.ways.items()}, held.kits, held.people
    )
