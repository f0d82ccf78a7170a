"""Rescue cover: for each task on the day, whether it is covered, by what, and until when."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from readiness.rules.allocation import NODE_BUDGET, Serving
from readiness.rules.breakpoints import days_of_change
from readiness.rules.demand import Resource
from readiness.rules.needs import missing_facts, needs_cover, restraint_shortfall
from readiness.rules.reasons import Reason
from readiness.rules.site_day import SiteDay
from readiness.rules.situation import Plan, Situation, Task
from readiness.rules.slices import Slice, Solver
from readiness.rules.suitability import drill_minutes

STATES = (
    "covered-with-backup",
    "covered-no-backup",
    "not-covered",
    "not-assessed",
    "no-rescue-cover-needed",
)


@dataclass(frozen=True, slots=True)
class Serves:
    """The named answer: ids, and minutes from the alarm to the casualty at safety."""

    kit: str
    people: tuple[str, ...]
    anchor: str
    first_aiders: tuple[str, ...]
    minutes: float


@dataclass(frozen=True, slots=True)
class Answer:
    """`finished` is False where a search was cut short: what it did not prove counts as not so."""

    state: str
    hangs_on: tuple[Resource, ...] = ()
    lapses_on: date | None = None
    lapse_reasons: tuple[Reason, ...] = ()
    reasons: tuple[Reason, ...] = ()
    missing: tuple[str, ...] = ()
    serves: Serves | None = None
    treated_as_arrest: Reason | None = None
    finished: bool = True

    @property
    def covered(self) -> bool:
        return self.state in {"covered-with-backup", "covered-no-backup"}

    @property
    def uncovered(self) -> bool:
        """Not assessed counts as not covered in every total."""
        return self.state in {"not-covered", "not-assessed"}


@dataclass(frozen=True, slots=True)
class Lapse:
    on: date
    reasons: tuple[Reason, ...]


def answers(situation: Situation, budget: int = NODE_BUDGET) -> dict[str, Answer]:
    """One answer for each task that runs on the day, in the order of the situation."""
    solver = Solver(budget)
    found = answers_now(situation, solver)
    lapses = _lapses([task for task in found if found[task].covered], situation, solver)
    return {task: _with_lapse(answer, lapses.get(task)) for task, answer in found.items()}


def answers_now(situation: Situation, solver: Solver) -> dict[str, Answer]:
    """As `answers`, without a look at later days."""
    today = solver.on(situation, situation.on)
    return {
        task.id: _covered(task, today, solver) if today.covers(task.id) else _uncovered(task, today)
        for task in situation.tasks
        if task.active_on(situation.on)
    }


def _lapses(names: list[str], situation: Situation, solver: Solver) -> dict[str, Lapse]:
    """The first day within the horizon on which each covered task no longer is, if it still runs."""
    covered = [task for task in situation.tasks if task.id in names]
    found: dict[str, Lapse] = {}
    for day in days_of_change(situation):
        left = [task for task in covered if task.id not in found and task.active_on(day)]
        if not left:
            break
        then = solver.on(situation, day)
        for task in left:
            if not then.covers(task.id):
                found[task.id] = Lapse(day, then.reasons(task))
    return found


def _with_lapse(answer: Answer, lapse: Lapse | None) -> Answer:
    if lapse is None:
        return answer
    return replace(answer, lapses_on=lapse.on, lapse_reasons=lapse.reasons)


def _covered(task: Task, today: Slice, solver: Solver) -> Answer:
    """Those exposed on this very task are no backup of it, so it does not hang on them."""
    hangs = solver.hanging(today.contest_of[task.id])
    single = {
        thing
        for thing in hangs.on[task.id]
        if thing.kind != "person" or thing.id not in task.exposed
    }
    listed = tuple(thing for thing in _listed(today.site.situation) if thing in single)
    return Answer(
        state="covered-no-backup" if listed else "covered-with-backup",
        hangs_on=listed,
        serves=_serves(task, today),
        treated_as_arrest=restraint_shortfall(task, today.site.situation.policy),
        finished=hangs.finished,
    )


def _listed(situation: Situation) -> list[Resource]:
    return [
        *(Resource("kit", kit.id) for kit in situation.kits),
        *(Resource("person", person.id) for person in situation.people),
        *(Resource("anchor", anchor.id) for anchor in situation.anchors),
    ]


def _serves(task: Task, today: Slice) -> Serves | None:
    serving, plan = today.serving(task.id), task.plan
    if serving is None or plan is None:
        return None
    return Serves(
        kit=serving.kit,
        people=serving.people,
        anchor=serving.anchor,
        first_aiders=serving.aiders,
        minutes=_minutes(serving, task, plan, today.site),
    )


def _minutes(serving: Serving, task: Task, plan: Plan, site: SiteDay) -> float:
    """Alarm, the longest way of kit and people, and the drill's minutes."""
    zones = [kit.zone for kit in site.situation.kits if kit.id == serving.kit]
    zones += [one.zone for one in site.situation.people if one.id in serving.people]
    way = max(site.minutes(zone, task.zone) for zone in zones)
    return site.situation.policy.alarm_minutes + way + drill_minutes(plan)


def _uncovered(task: Task, today: Slice) -> Answer:
    policy = today.site.situation.policy
    if not needs_cover(task, policy):
        return Answer("no-rescue-cover-needed")
    missing = missing_facts(task)
    if any(key.startswith("restraint.") for key in missing):
        return Answer("not-assessed", missing=missing)
    reasons = today.reasons(task)
    return Answer(
        state="not-covered" if reasons else "not-assessed",
        reasons=reasons,
        missing=missing,
        treated_as_arrest=restraint_shortfall(task, policy),
        finished=today.finished(task.id),
    )
