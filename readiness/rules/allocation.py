"""Who gets what: the tasks that every best allocation covers."""

from __future__ import annotations

from dataclasses import dataclass, field

from readiness.rules.aims import Aim
from readiness.rules.allotment import Allotment
from readiness.rules.calling import best_allotment
from readiness.rules.demand import Contest, Demand, Resource
from readiness.rules.searches import Search, search
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
    look: Search | None = field(default=None, compare=False)
    """What the search for them has learnt."""


def solve(contest: Contest, budget: int = NODE_BUDGET) -> Solution:
    try:
        return _solved(contest, Meter(budget))
    except OutOfNodes:
        return Solution(frozenset(), (), finished=False)


def _solved(contest: Contest, meter: Meter) -> Solution:
    look = search(contest, meter)
    held, aim = best_allotment(look)
    equals = [held]
    covered = in_every_best(look, aim, equals, frozenset(held.ways))
    best = _servings(contest, held)
    if not covered:
        return Solution(covered, best, True, held, aim, look=look)
    needed = frozenset[Resource]().union(*(one.uses for one in best))
    for equal in equals[1:]:
        needed &= frozenset[Resource]().union(*(one.uses for one in _servings(contest, equal)))
    return Solution(covered, best, True, held, aim, needed, look)


def _servings(contest: Contest, held: Allotment) -> tuple[Serving, ...]:
    return tuple(_serving(one, held) for one in contest.demands if one.task in held.ways)


def in_every_best(
    look: Search, aim: Aim, equals: list[Allotment], asked: frozenset[str]
) -> frozenset[str]:
    """Those without which nothing is worth as much; what is as much worth is kept in `equals`."""
    everybody = frozenset(look.goods.demands)
    asked = asked.intersection(*(one.ways for one in equals))
    proven = look.proven(aim, asked)
    doubtful = _not_swapped(look, aim, equals, asked - proven)
    if doubtful:
        proven |= look.sure(aim, doubtful)
    for task in sorted(doubtful):
        if task not in proven and all(task in one.ways for one in equals):
            other = look.reach(aim, equals[0].released(task), everybody - {task})
            if other is None:
                proven |= {task} | look.proven(aim, doubtful)
            else:
                equals.append(other)
    return proven


def _not_swapped(
    look: Search, aim: Aim, equals: list[Allotment], asked: frozenset[str]
) -> frozenset[str]:
    """What is left of those asked about once the quick ways of doing without each were tried."""
    for task in sorted(asked):
        if all(task in one.ways for one in equals):
            other = look.swapped(aim, equals[0], task)
            if other is not None:
                equals.append(other)
    return asked.intersection(*(one.ways for one in equals))


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
