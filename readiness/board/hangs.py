"""What cover hangs on: each kit, person and anchor whose loss would uncover a task, by who depends on it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from readiness.board.answers import thing_words
from readiness.board.standings import Standing
from readiness.rules.demand import Resource
from readiness.rules.timeline import Timeline
from readiness.rules.windows import Steps, steps
from readiness.wording import moment_words
from register.models import Site

COUNTS = (7, 30)
"""Over how many days it may be counted."""


@dataclass(slots=True)
class Hung:
    """One thing and all that hangs on it; `workers` are those who may be hanging on a rope then."""

    site: Site
    thing: Resource
    words: str
    first: str
    tasks: set[str] = field(default_factory=set)
    workers: set[str] = field(default_factory=set)

    @property
    def named_tasks(self) -> list[str]:
        return sorted(self.tasks)

    @property
    def heads(self) -> int:
        return len(self.workers)


def hangs_on(
    found: Sequence[Standing], known: Mapping[int, Timeline], at: datetime, days: int
) -> list[Hung]:
    """The thing on which most workers depend first. Nothing is said of what facts have overtaken."""
    every: list[Hung] = []
    for standing in found:
        if standing.fresh:
            every.extend(_of_site(standing, known[standing.site.pk], at, days))
    return sorted(every, key=lambda one: (-one.heads, -len(one.tasks), one.words))


def _of_site(standing: Standing, timeline: Timeline, at: datetime, days: int) -> Iterator[Hung]:
    statement, exposed = standing.statement, _exposed(timeline)
    found: dict[Resource, Hung] = {}
    for span in statement.between(at, at + timedelta(days=days)):
        moment = max(span.begins, at)
        for task, answer in span.answers.items():
            for thing in answer.hangs_on:
                if thing not in found:
                    first = moment_words(moment, at, statement.zone)
                    words = thing_words(thing, statement.names)
                    found[thing] = Hung(standing.site, thing, words, first)
                found[thing].tasks.add(task)
                found[thing].workers.update(_at(exposed, task, moment))
    yield from found.values()


def _exposed(timeline: Timeline) -> dict[str, Steps[tuple[str, ...]]]:
    return {
        one.task.id: steps((work.begins, work.ends, work.exposed) for work in one.works)
        for one in timeline.tasks
    }


def _at(
    exposed: Mapping[str, Steps[tuple[str, ...]]], task: str, moment: datetime
) -> Iterator[str]:
    held = exposed[task].at(moment) if task in exposed else ()
    return (person for people in held for person in people)
