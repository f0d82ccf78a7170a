"""One day or moment of a site, solved; what was solved before is not solved again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from readiness.rules.allocation import (
    NODE_BUDGET,
    Serving,
    Solution,
    solve,
)
from readiness.rules.demand import Contest, contests, rivals
from readiness.rules.losses import Hanging, hanging
from readiness.rules.reasons import Reason
from readiness.rules.site_day import SiteDay, site_day
from readiness.rules.situation import Situation, Task
from readiness.rules.suitability import own_reasons


@dataclass(frozen=True, slots=True)
class Slice:
    """Each coverable task with its contest, and each contest with its solution."""

    site: SiteDay
    contest_of: Mapping[str, Contest]
    solutions: Mapping[Contest, Solution]

    def solution(self, task_id: str) -> Solution | None:
        contest = self.contest_of.get(task_id)
        return None if contest is None else self.solutions[contest]

    def covers(self, task_id: str) -> bool:
        solution = self.solution(task_id)
        return solution is not None and task_id in solution.covered

    def finished(self, task_id: str) -> bool:
        solution = self.solution(task_id)
        return solution is None or solution.finished

    def serving(self, task_id: str) -> Serving | None:
        solution = self.solution(task_id)
        best = () if solution is None else solution.best
        return next((one for one in best if one.task == task_id), None)

    def reasons(self, task: Task) -> tuple[Reason, ...]:
        """Why a task that is not covered is not."""
        contest = self.contest_of.get(task.id)
        if contest is None:
            return own_reasons(task, self.site)
        others = {"tasks": rivals(task.id, contest)}
        code = "contested" if self.solutions[contest].finished else "search-not-finished"
        return (Reason(code, others),)


@dataclass(slots=True)
class Solver:
    """Solves moments of one site or of many, and remembers each contest it has met."""

    budget: int = NODE_BUDGET
    known: dict[Contest, Solution] = field(default_factory=dict)
    hung: dict[Contest, Hanging] = field(default_factory=dict)
    fresh: list[Contest] = field(default_factory=list)
    """Those of the moment that was solved last: what their searches have learnt is large, and kept
    only until the next."""

    def on(self, situation: Situation, day: date) -> Slice:
        site = site_day(situation, day)
        groups = contests(site)
        for group in self.fresh:
            self._forget(group)
        self.fresh = [group for group in groups if group not in self.known]
        for group in self.fresh:
            self.known[group] = solve(group, self.budget)
        contest_of = {one.task: group for group in groups for one in group.demands}
        return Slice(site, contest_of, {group: self.known[group] for group in groups})

    def hanging(self, contest: Contest) -> Hanging:
        """What the covered tasks of a contest that was solved hang on."""
        if contest not in self.hung:
            self.hung[contest] = hanging(contest, self.known[contest], self.budget)
            self._forget(contest)
        return self.hung[contest]

    def _forget(self, contest: Contest) -> None:
        if self.known[contest].look is not None:
            self.known[contest] = replace(self.known[contest], look=None)
