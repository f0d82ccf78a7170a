"""The single things that covered tasks hang on: each taken away, the contest solved again.

Most losses need no search. Where the allocation found can do without a thing by moving others along,
nothing falls; where prices that were quoted before prove that less can be had without it, something
does, and the same prices tell mostly what.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from readiness.rules.allocation import NODE_BUDGET, Solution, in_every_best, solve
from readiness.rules.allotment import Allotment, filled, inserted
from readiness.rules.bounds import HAIR, Aim, Question, Standing, Verdict
from readiness.rules.branching import Search, best_allotment, search
from readiness.rules.demand import Contest, Demand, Resource
from readiness.rules.proofs import Loss, Proof, loss
from readiness.rules.seating import Meter, OutOfNodes

ROUNDS = 40


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
    order = tuple(one.task for one in solution.look.in_call_order())
    losses = _Losses(contest, solution, solution.look, solution.aim, Meter(budget), order)
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

    contest: Contest
    solution: Solution
    look: Search
    aim: Aim
    meter: Meter
    order: tuple[str, ...]
    """All tasks, first call first."""
    seconds: list[Allotment] = field(default_factory=list)
    """Allocations found that are best once something is lost."""

    def fallen(self, lost: Resource, best: Allotment) -> frozenset[str]:
        """The covered tasks that are no longer covered without the thing."""
        left = self.contest.without(lost)
        named = {one.task: one for one in left.demands}
        demands = {task: named[task] for task in self.order if task in named}
        moved = [one for one in demands.values() if one.task in best.ways]
        for order in (moved, demands.values()):
            held = filled(_standing(best, left, lost), order)
            if self.aim.reached(demands[task] for task in held.ways):
                return frozenset()
        lack = loss(self.look.goods, lost, self.look.goods.demands.keys() - demands.keys())
        case = _Case(self, left, demands, lack, lost)
        if not case.falls(held):
            return frozenset()
        return self.solution.covered - case.still_covered(held)


@dataclass(slots=True)
class _Case:
    """One loss, and what is left then."""

    losses: _Losses
    left: Contest
    demands: dict[str, Demand]
    lack: Loss
    lost: Resource
    look: Search | None = None

    def looked(self) -> Search:
        """A search of what is left, made once it is needed."""
        if self.look is None:
            self.look = search(self.left, self.losses.meter, self.losses.look.known)
        return self.look

    def falls(self, held: Allotment) -> bool:
        """Whether as much as before can be had no longer."""
        aim = self.losses.aim
        if not aim.reached(self.demands.values()):
            return True
        if any(one.most(aim, self.lack) < aim.least - HAIR for one in self.losses.look.proofs):
            return True
        if not self.judged(aim, frozenset()).possible:
            return True
        return self.looked().reach(aim, held, frozenset(self.demands)) is None

    def judged(self, aim: Aim, doubtful: frozenset[str]) -> Verdict:
        """By prices alone, beginning with those that came nearest; what is quoted is kept."""
        base = self.losses.look
        tasks = tuple(sorted(base.goods.demands))
        left = tuple(task for task in tasks if task in self.demands)
        nearest = min(base.proofs, key=lambda one: one.most(aim, self.lack), default=None)
        starts = base.known.starts(base.goods, aim, tasks) if nearest is None else [nearest.prices]
        question = Question(self.lack.less(base.goods), aim, Standing({}, left), doubtful)
        verdict = question.judged(starts, ROUNDS, self.losses.meter)
        whole = Question(base.goods, aim, Standing({}, tasks))
        base.proofs.append(Proof(dict(aim.floors), verdict.prices, whole.quoted(verdict.prices)))
        return verdict

    def still_covered(self, held: Allotment) -> frozenset[str]:
        held, aim = self._best_left(held)
        equals = [held, *(one for one in self.losses.seconds if self._as_good(one, aim))]
        asked = self.losses.solution.covered.intersection(*(one.ways for one in equals))
        proven, fresh = self._proven(aim, asked), len(equals)
        asked = proven | self._not_swapped(aim, equals, asked - proven)
        self.losses.seconds.extend((held, *equals[fresh:]))
        if asked - proven:
            proven |= frozenset(self.judged(aim, asked - proven).must & asked)
        if asked - proven:
            proven |= in_every_best(self.looked(), aim, [held], asked - proven)
        return proven

    def _as_good(self, other: Allotment, aim: Aim) -> bool:
        """Whether an allocation found for another loss is as good for this one."""
        if other.holds_any(self.lost) or not other.ways.keys() <= self.demands.keys():
            return False
        return aim.reached(self.demands[task] for task in other.ways)

    def _best_left(self, held: Allotment) -> tuple[Allotment, Aim]:
        was = self.losses.aim
        held = self._called_first(held)
        calls = [self.demands[task].rank for task in held.ways]
        same = all(calls.count(call) == floor for call, floor in was.floors.items())
        if same and len(held.ways) == was.least - 1:
            return held, replace(was, least=was.least - 1)
        held, aim = best_allotment(self.looked(), held, was)
        return held, replace(aim, floors={**dict.fromkeys(was.floors, 0), **aim.floors})

    def _called_first(self, held: Allotment) -> Allotment:
        """Those with a call put in the place of one with none, or a later one, where that goes."""
        for task, demand in self.demands.items():
            if demand.rank is None or task in held.ways:
                continue
            for other in reversed(self.demands):
                rank = self.demands[other].rank
                if other in held.ways and (rank is None or rank > demand.rank):
                    more = inserted(held.released(other), demand)
                    if more is not None:
                        held = filled(more, self.demands.values())
                        break
        return held

    def _not_swapped(
        self, aim: Aim, equals: list[Allotment], asked: frozenset[str]
    ) -> frozenset[str]:
        for task in sorted(asked):
            if all(task in one.ways for one in equals):
                order = [one for one in self.demands.values() if one.task != task]
                other = filled(equals[0].released(task), order)
                if aim.reached(self.demands[one] for one in other.ways):
                    equals.append(other)
        return asked.intersection(*(one.ways for one in equals))

    def _proven(self, aim: Aim, asked: frozenset[str]) -> frozenset[str]:
        """Those that prices quoted before prove to be in whatever reaches the aim."""
        found = set[str]()
        for proof in self.losses.look.proofs:
            spare = proof.most(aim, self.lack) - aim.least + HAIR
            found.update(one for one in asked if proof.quote.gains[one] > max(0.0, spare))
        return frozenset(found)


def _standing(held: Allotment, left: Contest, lost: Resource) -> Allotment:
    """What of the solution still stands, for the tasks that still could be covered."""
    held = held.without(lost)
    for task in set(held.ways) - {one.task for one in left.demands}:
        held = held.released(task)
    ways = {(one.task, way.family): way for one in left.demands for way in one.ways}
    return Allotment(
        {task: ways[task, way.family] for task, way in held.ways.items()}, held.kits, held.people
    )
