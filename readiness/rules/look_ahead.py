"""What the weeks ahead ask for at a site, and what there will be: for getting a site ready in time.

The covered hours come from the rule itself. The counts beside them are plainer than the rule: they
say what is short, not that enough of it would do.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from readiness.rules.kit_condition import kit_usable
from readiness.rules.moments import Moments
from readiness.rules.needs import missing_facts
from readiness.rules.site_day import Presence, SiteDay, site_day
from readiness.rules.situation import Task
from readiness.rules.spans import Span, spans
from readiness.rules.task_reasons import drill_reasons, plan_reasons, usable_anchors
from readiness.rules.timeline import Timeline
from readiness.rules.windows import midnight

KINDS = ("kits", "rescuers", "first-aiders", "anchors", "plans", "drills", "facts")
"""What is counted, in the order in which it is shown."""

_WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Need:
    """At the worst moment of the week so many are needed and so many are there.

    `tasks`: those that lack it, or that ask for it at that moment. `first_on`: the first day of
    the week on which it is short.
    """

    kind: str
    needed: int
    there: int
    tasks: tuple[str, ...]
    first_on: date

    @property
    def short(self) -> int:
        return max(0, self.needed - self.there)


@dataclass(frozen=True, slots=True)
class WeekAhead:
    """`hours` are hours of tasks that need cover, `covered` those of them that have it now."""

    monday: date
    tasks: tuple[str, ...]
    at_once: int
    hours: float
    covered: float
    needs: tuple[Need, ...]

    @property
    def shortages(self) -> tuple[Need, ...]:
        return tuple(need for need in self.needs if need.short)


def weeks_ahead(timeline: Timeline, day: date, count: int) -> tuple[WeekAhead, ...]:
    """So many weeks by the clock of the site, of the first only what is left from the day on."""
    moments, monday = Moments(timeline), day - timedelta(days=day.weekday())
    mondays = [monday + n * _WEEK for n in range(count)]
    return tuple(_week(timeline, moments, one, max(one, day)) for one in mondays)


def _week(timeline: Timeline, moments: Moments, monday: date, begins: date) -> WeekAhead:
    first, last = midnight(begins, timeline.zone), midnight(monday + _WEEK, timeline.zone)
    found = spans(timeline, first, last)
    sites = [(span.begins, _site_at(moments, span.begins)) for span in found if span.answers]
    at_work = [(at, site) for at, site in sites if site.tasks]
    worked = [answer for span in found for answer in span.answers.items()]
    tasks = {task for task, answer in worked if answer.state != "no-rescue-cover-needed"}
    return WeekAhead(
        monday=monday,
        tasks=tuple(sorted(tasks)),
        at_once=max((len(site.tasks) for _, site in at_work), default=0),
        hours=_hours(found, tasks, lambda state: state != "no-rescue-cover-needed"),
        covered=_hours(found, tasks, lambda state: state.startswith("covered")),
        needs=tuple(_needs(at_work, moments)),
    )


def _site_at(moments: Moments, at: datetime) -> SiteDay:
    return site_day(moments.situation(at), moments.day(at))


def _hours(found: Iterable[Span], tasks: set[str], counts: Callable[[str], bool]) -> float:
    return sum(
        (span.ends - span.begins) / timedelta(hours=1)
        for span in found
        for task, answer in span.answers.items()
        if task in tasks and counts(answer.state)
    )


def _needs(at_work: list[tuple[datetime, SiteDay]], moments: Moments) -> Iterator[Need]:
    """Each kind at the moment of the week at which it is shortest, the earliest of those."""
    for kind in KINDS:
        told = [(at, _COUNTS[kind](site)) for at, site in at_work]
        if not told:
            continue
        worst = max(needed - there for _, (needed, there, _) in told)
        at, (needed, there, tasks) = next(each for each in told if each[1][0] - each[1][1] == worst)
        short = [at for at, (wanted, held, _) in told if wanted > held]
        yield Need(kind, needed, there, tasks, moments.day(min(short, default=at)))


Count = tuple[int, int, tuple[str, ...]]
"""Needed, there, and the tasks that it is about."""


def _kits(site: SiteDay) -> Count:
    """One a task, which those that may share one can do with less of."""
    there = [kit for kit in site.situation.kits if kit_usable(kit, site.day)]
    return len(site.tasks), len([kit for kit in there if not kit.locked]), _names(site.tasks)


def _rescuers(site: SiteDay) -> Count:
    """As many as the plans ask for, all at once; those who may hang are nobody's rescuers."""
    families = {kit.family for kit in site.situation.kits}
    free = [
        here
        for here in site.presences
        if here.on_site and here.current & families and here.person.id not in site.exposed_on
    ]
    wanted = [1 if task.plan is None else task.plan.min_rescuers for task in site.tasks]
    return sum(wanted), len(free), _names(site.tasks)


def _first_aiders(site: SiteDay) -> Count:
    def aids(here: Presence) -> bool:
        return here.first_aid and here.on_site and here.person.id not in site.exposed_on

    return 1, sum(map(aids, site.presences)), _names(site.tasks)


def _lacking(lacks: Callable[[Task, SiteDay], bool]) -> Callable[[SiteDay], Count]:
    """Of the tasks at work, those that have it and those that do not."""

    def count(site: SiteDay) -> Count:
        without = [task for task in site.tasks if lacks(task, site)]
        return len(site.tasks), len(site.tasks) - len(without), _names(without)

    return count


def _names(tasks: Iterable[Task]) -> tuple[str, ...]:
    return tuple(task.id for task in tasks)


def _no_anchor(task: Task, site: SiteDay) -> bool:
    return not usable_anchors(task, site)


def _no_plan(task: Task, site: SiteDay) -> bool:
    return task.plan is None or bool(plan_reasons(task.plan, site))


def _no_drill(task: Task, site: SiteDay) -> bool:
    return task.plan is None or bool(drill_reasons(task.plan, site))


def _not_known(task: Task, site: SiteDay) -> bool:
    return bool(missing_facts(task)) or not task.exposed


_COUNTS: Mapping[str, Callable[[SiteDay], Count]] = {
    "kits": _kits,
    "rescuers": _rescuers,
    "first-aiders": _first_aiders,
    "anchors": _lacking(_no_anchor),
    "plans": _lacking(_no_plan),
    "drills": _lacking(_no_drill),
    "facts": _lacking(_not_known),
}
