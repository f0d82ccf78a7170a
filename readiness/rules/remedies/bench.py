"""Sites on the bench: their answers with any set of acts applied, nothing judged twice."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from itertools import pairwise

from readiness.rules.changes import Dated, changed
from readiness.rules.cover import Answer
from readiness.rules.moments import Moments
from readiness.rules.remedies.acts import Act, dated
from readiness.rules.slices import Solver
from readiness.rules.spans import Span, judged
from readiness.rules.timeline import Timeline
from readiness.rules.windows import Window, united

Bad = Callable[[Answer], bool]

JUDGEMENTS = 4000
"""Moments judged for one question; some seconds of a small machine's time (measured, no source)."""


class OutOfBudget(Exception):
    """More moments were to be judged than one question may cost."""


@dataclass(slots=True)
class _Ground:
    moments: Moments
    known: dict[Hashable, Mapping[str, Answer]] = field(default_factory=dict)


class Bench:
    """All sites that may give or take, from a moment until another."""

    def __init__(
        self,
        timelines: Mapping[str, Timeline],
        first: datetime,
        last: datetime,
        budget: int = JUDGEMENTS,
    ) -> None:
        self.timelines, self.first, self.last = dict(timelines), first, last
        self.left = budget
        self._solver = Solver()
        self._grounds: dict[tuple[str, tuple[Dated, ...]], _Ground] = {}
        self._spans: dict[tuple[str, tuple[Dated, ...]], tuple[Span, ...]] = {}

    def answers(self, site: str, acts: Iterable[Act], at: datetime) -> Mapping[str, Answer]:
        """Of all tasks at work at the moment, with what is done by then."""
        done = tuple(one for one in dated(acts, site) if one.at <= at)
        return self._judged(self._ground(site, done), at)

    def spans(self, site: str, acts: Iterable[Act] = ()) -> tuple[Span, ...]:
        """The site's cover from first to last; before its moment an act does not count."""
        made = tuple(one for one in dated(acts, site) if one.at < self.last)
        if (site, made) not in self._spans:
            self._spans[site, made] = self._joined(site, made)
        return self._spans[site, made]

    def _joined(self, site: str, made: tuple[Dated, ...]) -> tuple[Span, ...]:
        turns = {one.at for one in made if self.first < one.at < self.last}
        found: list[Span] = []
        for begins, ends in pairwise(sorted({self.first, self.last, *turns})):
            ground = self._ground(site, tuple(one for one in made if one.at <= begins))
            changes = ground.moments.changes(begins, ends)
            for first, last in pairwise([*changes, ends]):
                answers = self._judged(ground, first)
                if found and found[-1].answers == answers:
                    found[-1] = replace(found[-1], ends=last)
                else:
                    found.append(Span(first, last, answers))
        return tuple(found)

    def key(self, site: str, at: datetime) -> Hashable:
        """Equal keys, equal answers, and equal answers with the same acts done."""
        return self._ground(site, ()).moments.key(at)

    def lasts(self, site: str, span: Span) -> list[datetime]:
        """The last moment before each change of any fact within a span, and before its end."""
        changes = self._ground(site, ()).moments.changes(span.begins, span.ends)
        return [turn - timedelta.resolution for turn in (*changes[1:], span.ends)]

    def _ground(self, site: str, done: tuple[Dated, ...]) -> _Ground:
        if (site, done) not in self._grounds:
            now = changed(self.timelines[site], done, self.last)
            self._grounds[site, done] = _Ground(Moments(now))
        return self._grounds[site, done]

    def _judged(self, ground: _Ground, at: datetime) -> Mapping[str, Answer]:
        key = ground.moments.key(at)
        if key not in ground.known:
            if self.left <= 0:
                raise OutOfBudget
            self.left -= 1
            ground.known[key] = judged(ground.moments.situation(at), self._solver)
        return ground.known[key]


def windows_of(spans: Iterable[Span], task: str, bad: Bad) -> tuple[Window, ...]:
    """When the task is worked on and its answer is so."""
    return united(
        (span.begins, span.ends)
        for span in spans
        if task in span.answers and bad(span.answers[task])
    )


def uncovered(answer: Answer) -> bool:
    return answer.uncovered


def unbacked(answer: Answer) -> bool:
    """Not covered, or hanging on one thing."""
    return answer.uncovered or answer.state == "covered-no-backup"
