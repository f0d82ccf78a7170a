"""What may change about people and rescue anchors."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

from readiness.rules.demand import Resource
from readiness.rules.situation import IN_SERVICE, Anchor, Competence, Person
from readiness.rules.timeline import AnchorTime, PersonTime, Stay, TaskTime, Timeline


@dataclass(frozen=True, slots=True)
class PersonTaken:
    """As if they were nowhere on the rota."""

    person: str

    def of(self, timeline: Timeline) -> Timeline:
        return timeline.without(Resource("person", self.person))


@dataclass(frozen=True, slots=True)
class PersonOn:
    """A person is there in these hours more; one not known at the site is known from now on.

    Hours elsewhere at the same time are not looked for here: who offers the person does that.
    """

    person: Person
    stays: tuple[Stay, ...]

    def of(self, timeline: Timeline) -> Timeline:
        known = {one.person.id for one in timeline.people}
        people = tuple(
            replace(one, stays=_by_time((*one.stays, *self.stays)))
            if one.person.id == self.person.id
            else one
            for one in timeline.people
        )
        if self.person.id not in known:
            people = (*people, PersonTime(self.person, _by_time(self.stays)))
        return replace(timeline, people=people)


def _by_time(stays: tuple[Stay, ...]) -> tuple[Stay, ...]:
    return tuple(sorted(set(stays), key=lambda stay: (stay.begins, stay.ends, stay.zone)))


@dataclass(frozen=True, slots=True)
class TicketHeld:
    """Trained, or refreshed, from a day through a day."""

    person: str
    kind: str
    family: str
    from_on: date
    through_on: date

    def of(self, timeline: Timeline) -> Timeline:
        ticket = Competence(self.kind, self.through_on, self.family, self.from_on)
        people = tuple(
            replace(one, person=_with_ticket(one.person, ticket))
            if one.person.id == self.person
            else one
            for one in timeline.people
        )
        return replace(timeline, people=people)


def _with_ticket(person: Person, ticket: Competence) -> Person:
    return replace(person, competences=(*person.competences, ticket))


@dataclass(frozen=True, slots=True)
class AnchorTaken:
    """As if it had never been there."""

    anchor: str

    def of(self, timeline: Timeline) -> Timeline:
        return timeline.without(Resource("anchor", self.anchor))


@dataclass(frozen=True, slots=True)
class AnchorExamined:
    """Passed: in service, with a new last good day."""

    anchor: str
    due: date

    def of(self, timeline: Timeline) -> Timeline:
        def passed(one: AnchorTime) -> AnchorTime:
            found = replace(one.anchor, condition=IN_SERVICE, due=self.due)
            return replace(one, anchor=found) if one.anchor.id == self.anchor else one

        return replace(timeline, anchors=tuple(map(passed, timeline.anchors)))


@dataclass(frozen=True, slots=True)
class AnchorInstalled:
    """A new rescue anchor, which these tasks may use."""

    anchor: Anchor
    tasks: tuple[str, ...]

    def of(self, timeline: Timeline) -> Timeline:
        tasks = _each(timeline.tasks, self.tasks, self._used)
        return replace(timeline, tasks=tasks, anchors=(*timeline.anchors, AnchorTime(self.anchor)))

    def _used(self, one: TaskTime) -> TaskTime:
        anchors = (*one.task.rescue_anchors, self.anchor.id)
        return replace(one, task=replace(one.task, rescue_anchors=anchors))


def _each(
    tasks: tuple[TaskTime, ...], names: tuple[str, ...], change: Callable[[TaskTime], TaskTime]
) -> tuple[TaskTime, ...]:
    return tuple(change(one) if one.task.id in names else one for one in tasks)
