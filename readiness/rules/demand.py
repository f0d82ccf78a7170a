"""What each coverable task would need, and which tasks are after the same kits and people."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from readiness.rules.kit_reasons import fits
from readiness.rules.needs import exceeds, missing_facts
from readiness.rules.people_reasons import Crew
from readiness.rules.site_day import FAR, Presence, SiteDay
from readiness.rules.situation import Plan, Task
from readiness.rules.suitability import crews, drill_minutes, task_kits
from readiness.rules.task_reasons import (
    first_aid_suffices,
    first_aiders,
    task_reasons,
    usable_anchors,
)

Call = tuple[int, int]
"""Signed permits in order of issue, then first calls by rank: the lower, the sooner served."""


@dataclass(frozen=True, slots=True, order=True)
class Resource:
    """`kind` is "kit", "person" or "anchor"."""

    kind: str
    id: str


@dataclass(frozen=True, slots=True)
class Way:
    """One family of kit for one task: the kits and people that are fit and quick enough.

    `private` are able people exposed on this task under mutual rescue: no other task may
    have them, so that they cost nobody anything.
    """

    family: str
    kits: frozenset[str]
    people: frozenset[str]
    private: frozenset[str]
    rescuers: int
    pinned: frozenset[str] = frozenset()
    """All whom a signed permit names: these together, and nobody else."""
    kits_first: tuple[str, ...] = field(default=(), compare=False)
    people_first: tuple[str, ...] = field(default=(), compare=False)
    """The same kits and people, those to be tried first in front, once that is known."""

    @property
    def need(self) -> int:
        """How many people not exposed are tied up: n, or what n + 1 with the private lacks."""
        if self.pinned:
            return len(self.people)
        if not self.mutual:
            return self.rescuers
        return max(0, self.rescuers + 1 - len(self.private))

    @property
    def mutual(self) -> bool:
        """Whether the private are called upon at all: one alone may be the one hanging."""
        return len(self.private) > 1

    @property
    def open(self) -> bool:
        if not self.pinned:
            return bool(self.kits) and len(self.people) >= self.need
        whole = self.people | self.private == self.pinned
        return bool(self.kits) and whole and len(self.pinned) >= self.rescuers + bool(self.private)

    @property
    def buddies(self) -> tuple[str, ...]:
        """Those of the private who are called upon."""
        if self.pinned:
            return tuple(sorted(self.private))
        return tuple(sorted(self.private)[: self.rescuers + 1 - self.need]) if self.mutual else ()

    def without(self, lost: Resource) -> Way:
        """Written out in full, which is quicker than a copy: much is tried without something."""
        gone, kits, people, private = lost.id, self.kits, self.people, self.private
        first = (self.kits_first, self.people_first)
        if lost.kind == "kit" and gone in kits:
            kits, first = kits - {gone}, (_but(first[0], gone), first[1])
        elif lost.kind == "person" and (gone in people or gone in private):
            people, private = people - {gone}, private - {gone}
            first = (first[0], _but(first[1], gone))
        else:
            return self
        return Way(self.family, kits, people, private, self.rescuers, self.pinned, *first)


def _but(ids: tuple[str, ...], gone: str) -> tuple[str, ...]:
    return tuple([one for one in ids if one != gone])


@dataclass(frozen=True, slots=True)
class Demand:
    """A task that could be covered if it were alone. Anchors and first aid are never used up."""

    task: str
    rank: Call | None
    ways: tuple[Way, ...]
    anchors: frozenset[str]
    aiders: frozenset[str]
    exposed_aiders: frozenset[str]

    @property
    def coverable(self) -> bool:
        aid = first_aid_suffices(len(self.aiders), len(self.exposed_aiders))
        return bool(self.ways and self.anchors) and aid

    def without(self, lost: Resource) -> Demand:
        if not self.uses(lost):
            return self
        ways, anchors, gone = self.ways, self.anchors, {lost.id}
        aiders, exposed_aiders = self.aiders, self.exposed_aiders
        if lost.kind == "anchor":
            anchors = anchors - gone
        else:
            left = [way.without(lost) for way in ways]
            ways = tuple([way for way in left if way.open])
        if lost.kind == "person":
            aiders, exposed_aiders = aiders - gone, exposed_aiders - gone
        return Demand(self.task, self.rank, ways, anchors, aiders, exposed_aiders)

    def takes(self, kit: str) -> bool:
        return any(kit in way.kits for way in self.ways)

    def uses(self, thing: Resource) -> bool:
        """Whether this task could use a thing for anything."""
        one = thing.id
        if thing.kind == "anchor":
            return one in self.anchors
        if thing.kind == "kit":
            return any(one in way.kits for way in self.ways)
        aids = one in self.aiders or one in self.exposed_aiders
        return aids or any(one in way.people or one in way.private for way in self.ways)

    def roles_of(self, thing: Resource) -> tuple[bool, ...]:
        """All that this task could use a thing for."""
        one = thing.id
        if thing.kind == "anchor":
            return (one in self.anchors,)
        if thing.kind == "kit":
            return tuple(one in way.kits for way in self.ways)
        roles = (held for way in self.ways for held in (one in way.people, one in way.private))
        return (*roles, one in self.aiders, one in self.exposed_aiders)

    @property
    def wanted(self) -> frozenset[Resource]:
        """The kits and people it may have to compete for."""
        kits = {Resource("kit", kit) for way in self.ways for kit in way.kits}
        return frozenset(
            kits | {Resource("person", one) for way in self.ways for one in way.people}
        )

    def touches(self, other: Demand) -> bool:
        """Whether both want one kit or person; as `wanted` has it, without counting up all."""
        return any(
            not (way.kits.isdisjoint(theirs.kits) and way.people.isdisjoint(theirs.people))
            for way in self.ways
            for theirs in other.ways
        )


@dataclass(frozen=True, slots=True)
class Contest:
    """Demands that hang together, and the pairs among them that may share."""

    demands: tuple[Demand, ...]
    sharing: frozenset[tuple[str, str]]

    def without(self, lost: Resource) -> Contest:
        left = (demand.without(lost) for demand in self.demands)
        return Contest(tuple(demand for demand in left if demand.coverable), self.sharing)

    def without_task(self, task: str) -> Contest:
        left = tuple(demand for demand in self.demands if demand.task != task)
        return Contest(left, self.sharing)

    @property
    def mates(self) -> dict[str, frozenset[str]]:
        """For each task the others it may share with."""
        found: dict[str, set[str]] = {demand.task: set() for demand in self.demands}
        for one, two in self.sharing:
            if one in found:
                found[one].add(two)
        return {task: frozenset(others) for task, others in found.items()}


def demand(task: Task, site: SiteDay) -> Demand | None:
    """None where the task could not be covered even alone."""
    plan = task.plan
    if plan is None or missing_facts(task) or task_reasons(task, site):
        return None
    ways = _ways(task, plan, site)
    if not ways:
        return None
    near = {here.person.id for here in first_aiders(task, site)}
    return Demand(
        task=task.id,
        rank=_call(task),
        ways=ways,
        anchors=frozenset(anchor.id for anchor in usable_anchors(task, site)),
        aiders=frozenset(near.difference(task.exposed)),
        exposed_aiders=frozenset(near.intersection(task.exposed)),
    )


def _call(task: Task) -> Call | None:
    if task.pinned is not None:
        return (0, task.pinned.order)
    return None if task.first_call is None else (1, task.first_call)


def _ways(task: Task, plan: Plan, site: SiteDay) -> tuple[Way, ...]:
    limit = plan.target_minutes - site.situation.policy.alarm_minutes - drill_minutes(plan)
    fit: dict[str, set[str]] = {}
    for kit in task_kits(task, site):
        late = exceeds(site.minutes(kit.zone, task.zone), limit)
        if not late and fits(kit, task, plan, site):
            fit.setdefault(kit.family, set()).add(kit.id)
    if not fit:
        return ()
    if task.pinned is not None and not task.pinned.people:
        return ()
    able = crews(task, site)
    ways = (_way(family, fit[family], task, able[family], (plan, site)) for family in sorted(fit))
    return tuple(way for way in ways if way.open)


def _way(family: str, kits: set[str], task: Task, able: Crew, setting: tuple[Plan, SiteDay]) -> Way:
    plan, site = setting
    limit = plan.target_minutes - site.situation.policy.alarm_minutes - drill_minutes(plan)

    def quick(people: Iterable[Presence]) -> frozenset[str]:
        return frozenset(
            here.person.id
            for here in people
            if not exceeds(site.minutes(here.person.zone, task.zone), limit)
        )

    private = quick(able.exposed) if plan.mutual_rescue else frozenset()
    pinned = frozenset(task.pinned.people) if task.pinned else frozenset[str]()
    return Way(family, frozenset(kits), quick(able.free), private, plan.min_rescuers, pinned)


def contests(site: SiteDay) -> tuple[Contest, ...]:
    """Demands that share no kit and no person are solved apart."""
    found = [one for one in (demand(task, site) for task in site.tasks) if one is not None]
    found.sort(key=lambda one: one.task)
    tasks = {task.id: task for task in site.tasks}
    return tuple(
        Contest(group, _sharing(tuple(tasks[one.task] for one in group), site))
        for group in _groups(found)
    )


def _groups(demands: list[Demand]) -> list[tuple[Demand, ...]]:
    groups: list[tuple[list[Demand], set[Resource]]] = []
    for one in demands:
        after = one.wanted
        touching = [group for group in groups if group[1] & after]
        groups = [group for group in groups if not group[1] & after]
        members = [member for group in touching for member in group[0]]
        groups.append(([*members, one], set(after).union(*(group[1] for group in touching))))
    return [tuple(sorted(members, key=lambda one: one.task)) for members, _ in groups]


def _sharing(tasks: tuple[Task, ...], site: SiteDay) -> frozenset[tuple[str, str]]:
    return frozenset(
        (one.id, two.id)
        for one in tasks
        for two in tasks
        if one.id != two.id and _may_share(one, two, site)
    )


def _may_share(one: Task, two: Task, site: SiteDay) -> bool:
    """Both plans stop other work, and the zones are near each other, the longer way counted."""
    if one.plan is None or two.plan is None or not (one.plan.stop_work and two.plan.stop_work):
        return False
    between = max(site.minutes(one.zone, two.zone), site.minutes(two.zone, one.zone))
    return between < FAR and not exceeds(between, site.situation.policy.share_within_minutes)


def rivals(task: str, group: Contest) -> tuple[str, ...]:
    """The other tasks after the same kits or people; those that may share last resort only."""
    own = next(one for one in group.demands if one.task == task)
    touching = [one.task for one in group.demands if one.task != task and own.touches(one)]
    apart = [other for other in touching if (task, other) not in group.sharing]
    return tuple(sorted(apart or touching))
