"""The single things that covered tasks hang on: each taken away, the contest solved again.

Most losses need no search. Where the allocation found can do without a thing by moving others along,
nothing falls; where prices that were quoted before prove that less can be had without it, something
does, and the same prices tell mostly what.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from readiness.rules.aims import Aim
from readiness.rules.allocation import NODE_BUDGET, Solution, in_every_best, solve
from readiness.rules.allotment import Allotment, filled, inserted
from readiness.rules.calling import best_allotment
from readiness.rules.demand import Contest, Resource
from readiness.rules.searches import Search
from readiness.rules.seating import Meter, OutOfNodes


@dataclass(frozen=True, slots=True)
class Hanging:
    """For each covered task the things whose loss, one at a time, would uncover it."""

    on: dict[str, frozenset[Resource]]
    finished: bool


def hanging(contest: Contest, solution: Solution, budget: int = NODE_BUDGET) -> Hanging:
    """Take each thing away and solve again; things alike for everybody, only one of them.

    Only what every best allocation found uses need be tried: if one does without a thing, then it
    is still best without it, and every best allocation left was best before.
    """
    on: dict[str, set[Resource]] = {task: set() for task in solution.covered}
    finished, known = True, dict[object, frozenset[str]]()
    if solution.look is None and solution.covered:
        solution = solve(contest, budget)  # only what was found had been kept
    if solution.look is None or solution.aim is None or solution.allotment is None:
        return Hanging({task: frozenset() for task in on}, solution.finished)
    losses = _Losses(solution.covered, solution.look, solution.aim, Meter(budget))
    for lost in sorted(solution.indispensable):
        alike = _likeness(contest, lost)
        if alike not in known:
            try:
                known[alike] = losses.fallen(lost, solution.allotment)
            except OutOfNodes:
                known[alike], finished = solution.covered, False
        for task in known[alike]:
            on[task].add(lost)
    return Hanging({task: frozenset(things) for task, things in on.items()}, finished)


def _likeness(contest: Contest, thing: Resource) -> tuple[object, ...]:
    """The same for two things just where changing them for one another changes no demand."""
    return (thing.kind, *(demand.roles_of(thing) for demand in contest.demands))


@dataclass(slots=True)
class _Losses:
    """What is learnt from one loss helps with the next."""

    covered: frozenset[str]
    look: Search
    aim: Aim
    meter: Meter
    seconds: list[tuple[Allotment, frozenset[tuple[str, str]]]] = field(default_factory=list)
    """Allocations found that are best once something is lost, each with what it holds."""

    def fallen(self, lost: Resource, best: Allotment) -> frozenset[str]:
        """The covered tasks that are no longer covered without the thing."""
        case = _Case(self.look.without(lost, self.meter), lost)
        held = case.standing(best)
        everybody = frozenset(case.look.order)
        if not case.look.beyond(self.aim, everybody):
            moved = [one for one in case.look.in_call_order() if one.task in best.ways]
            again = case.look.reach(self.aim, filled(held, moved), everybody)
            if again is not None:
                return frozenset()
        return self.covered - self._still_covered(case, held)

    def _still_covered(self, case: _Case, held: Allotment) -> frozenset[str]:
        held, aim = case.best_left(held, self.aim)
        lost = (case.lost.kind, case.lost.id)
        others = [one for one, holds in self.seconds if lost not in holds]
        equals = [held, *(one for one in others if case.as_good(one, aim))]
        before = len(equals)
        found = in_every_best(case.look, aim, equals, self.covered & held.ways.keys())
        self.seconds.extend((one, one.held) for one in (held, *equals[before:]))
        return found


@dataclass(frozen=True, slots=True)
class _Case:
    """One loss, and what is left then."""

    look: Search
    lost: Resource

    def standing(self, best: Allotment) -> Allotment:
        """What of the solution still stands, for the tasks that still could be covered."""
        held, demands = best.without(self.lost), self.look.goods.demands
        held = held.released(*(task for task in held.ways if task not in demands))
        ways = {
            task: next(one for one in demands[task].ways if one.family == way.family)
            for task, way in held.ways.items()
        }
        return Allotment(ways, held.kits, held.people)

    def as_good(self, other: Allotment, aim: Aim) -> bool:
        """Whether an allocation that holds nothing lost is as good as any."""
        if not other.ways.keys() <= self.look.goods.demands.keys():
            return False
        return self.look.reaches(aim, other)

    def best_left(self, held: Allotment, was: Aim) -> tuple[Allotment, Aim]:
        less = replace(was, least=was.least - 1)
        if self.look.reaches(less, held):
            return held, less
        held = self._called_first(filled(held, self.look.in_call_order()))
        if self.look.reaches(less, held):
            return held, less
        held, aim = best_allotment(self.look, held, was)
        return held, replace(aim, floors={**dict.fromkeys(was.floors, 0), **aim.floors})

    def _called_first(self, held: Allotment) -> Allotment:
        """Those with a call put in the place of one with none, or a later one, where that goes."""
        demands = self.look.in_call_order()
        for demand in demands:
            if demand.rank is None or demand.task in held.ways:
                continue
            for other in reversed(demands):
                later = other.rank is None or other.rank > demand.rank
                if later and other.task in held.ways:
                    more = inserted(held.released(other.task), demand)
                    if more is not None:
                        held = filled(more, demands)
                        break
        return held
