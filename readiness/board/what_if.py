"""A site as it is beside the site as it might be; nothing is kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from readiness.board.days import LINE_DAYS, line_words
from readiness.facts import timelines
from readiness.rules.changes import (
    Change,
    Dated,
    FirstCall,
    KitArrives,
    KitLeaves,
    PersonOn,
    TaskAs,
    TaskMoved,
    changed,
    changed_spans,
)
from readiness.rules.demand import Resource
from readiness.rules.line import NOT_WORKED, Drawing, strands
from readiness.rules.moments import Moments
from readiness.rules.situation import Situation
from readiness.rules.spans import Span, worst
from readiness.rules.timeline import Stay, Timeline
from readiness.rules.windows import midnight, united
from readiness.wording import reason_sentence
from register.models import Site

_DAY = timedelta(days=1)
LINE_WIDTH, LINE_HEIGHT = 28 * LINE_DAYS, 28
Edit = tuple[str, Change]
"""The site it changes, and what."""


@dataclass(frozen=True, slots=True)
class Taken:
    """As if one kit, person or anchor were not there."""

    thing: Resource

    def of(self, timeline: Timeline) -> Timeline:
        return timeline.without(self.thing)


@dataclass(frozen=True, slots=True)
class Asked:
    """What the address asks: things taken away, brought in, and one task done another way."""

    take: tuple[Resource, ...] = ()
    kit: str = ""
    person: str = ""
    task: str = ""
    said: Mapping[str, object] | None = None
    later_days: int = 0
    first_call: bool = False

    @property
    def asks(self) -> bool:
        return bool(self.take or self.kit or self.person or (self.task and self._changes))

    @property
    def _changes(self) -> bool:
        return bool(self.said or self.later_days or self.first_call)


@dataclass(frozen=True, slots=True)
class LineBoard:
    drawing: Drawing
    words: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Beside:
    """One task before and after; `site` is named where it is another than the one asked about."""

    task: str
    name: str
    site: str
    before: LineBoard
    after: LineBoard

    @property
    def same(self) -> bool:
        return self.before.words == self.after.words and self.before.reasons == self.after.reasons


@dataclass(frozen=True, slots=True)
class Ground:
    """The site asked about and those that may lend, over the days that the lines show."""

    site: Site
    sites: Mapping[str, Site]
    timelines: Mapping[str, Timeline]
    day: date

    @property
    def here(self) -> Timeline:
        return self.timelines[self.site.code]

    @property
    def first(self) -> datetime:
        return midnight(self.day, self.here.zone)

    @property
    def last(self) -> datetime:
        return midnight(self.day + LINE_DAYS * _DAY, self.here.zone)


def ground_of(site: Site, donors: Sequence[Site], day: date) -> Ground:
    sites = {one.code: one for one in (site, *donors)}
    found = timelines(list(sites.values()), day, day + (LINE_DAYS - 1) * _DAY)
    return Ground(site, sites, {one.site: one for one in found}, day)


def edits(ground: Ground, asked: Asked) -> list[Edit]:
    here = ground.site.code
    made: list[Edit] = [(here, Taken(thing)) for thing in asked.take]
    made += _brought_kit(ground, asked)
    made += _brought_person(ground, asked)
    if asked.task:
        made += [(here, TaskAs(asked.task, asked.said))] if asked.said else []
        made += [(here, TaskMoved(asked.task, asked.later_days * _DAY))] if asked.later_days else []
        made += [(here, FirstCall(asked.task))] if asked.first_call else []
    return made


def _brought_kit(ground: Ground, asked: Asked) -> Iterator[Edit]:
    """It hangs where the task asked about is, else in the first zone with work."""
    for site, timeline in ground.timelines.items():
        for held in timeline.kits if site != ground.site.code else ():
            if held.kit.id == asked.kit:
                there = replace(held, kit=replace(held.kit, zone=_zone(ground, asked)))
                yield site, KitLeaves(asked.kit)
                yield ground.site.code, KitArrives(there, ground.first)


def _brought_person(ground: Ground, asked: Asked) -> Iterator[Edit]:
    """In all hours in which the task (or any) is worked; off the rota of where they would be."""
    for site, timeline in ground.timelines.items():
        for held in timeline.people:
            if held.person.id == asked.person:
                if site != ground.site.code:
                    yield site, Taken(Resource("person", asked.person))
                yield ground.site.code, PersonOn(held.person, _stays(ground, asked))
                return


def _stays(ground: Ground, asked: Asked) -> tuple[Stay, ...]:
    tasks = [one for one in ground.here.tasks if asked.task in {"", one.task.id}]
    hours = united((work.begins, work.ends) for one in tasks for work in one.works)
    return tuple(Stay(*one, _zone(ground, asked)) for one in hours)


def _zone(ground: Ground, asked: Asked) -> str:
    tasks = [one.task for one in ground.here.tasks if asked.task in {"", one.task.id}]
    return tasks[0].zone if tasks else ""


def beside(ground: Ground, asked: Asked) -> list[Beside]:
    """Every task of the site, and of other sites those that would change."""
    made = edits(ground, asked)
    found: list[Beside] = []
    for code in dict.fromkeys((ground.site.code, *(site for site, _ in made))):
        rows = list(_rows(ground, code, [change for site, change in made if site == code]))
        found += rows if code == ground.site.code else [one for one in rows if not one.same]
    return found


def _rows(ground: Ground, code: str, made: Sequence[Change]) -> Iterator[Beside]:
    timeline = ground.timelines[code]
    dated = [Dated(ground.first, one) for one in made]
    before = changed_spans(timeline, (), ground.first, ground.last)
    after = changed_spans(timeline, dated, ground.first, ground.last) if made else before
    other = "" if code == ground.site.code else ground.sites[code].name
    for one in timeline.tasks:
        name = one.task.id
        if any(name in span.answers for span in (*before, *after)):
            lines = (_line(name, spans, ground) for spans in (before, after))
            yield Beside(name, one.task.name, other, *lines)


def _line(task: str, spans: Sequence[Span], ground: Ground) -> LineBoard:
    days = [ground.day + n * _DAY for n in range(LINE_DAYS)]
    states = [_worst_on(task, spans, day, ground) for day in days]
    said: dict[str, None] = {}
    for span in spans:
        answer = span.answers.get(task)
        if answer is not None:
            said.update((reason_sentence(one), None) for one in answer.reasons)
    drawing = strands(states, LINE_WIDTH, LINE_HEIGHT)
    return LineBoard(drawing, line_words(states, ground.day), tuple(said))


def _worst_on(task: str, spans: Sequence[Span], day: date, ground: Ground) -> str:
    first, last = (midnight(one, ground.here.zone) for one in (day, day + _DAY))
    there = [one for one in spans if one.begins < last and first < one.ends and task in one.answers]
    found = worst(one.answers[task] for one in there)
    return NOT_WORKED if found is None else found.state


def moment_of(ground: Ground, asked: Asked, at: datetime) -> Situation:
    """The site at the moment, with everything asked for."""
    made = [
        Dated(ground.first, one) for site, one in edits(ground, asked) if site == ground.site.code
    ]
    return Moments(changed(ground.here, made, at)).situation(at)
