"""What a set of acts does: what stays uncovered until when, what it breaks, what it weakens."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from readiness.rules.cover import Answer
from readiness.rules.demand import Resource
from readiness.rules.remedies.acts import Act, Key
from readiness.rules.remedies.bench import Bench, unbacked, uncovered, windows_of
from readiness.rules.spans import Span
from readiness.rules.windows import Window, united, without

Hours = dict[Key, tuple[Window, ...]]


@dataclass(frozen=True, slots=True)
class Outcome:
    """Found by solving every site that is touched, afresh, over all the time.

    `gaps`: when the wanted tasks are still not covered. `hanging`: when they are, without backup.
    `broken`: what would newly be uncovered anywhere; a set that breaks anything is never offered.
    `weakened`: other tasks, with what they newly hang on. `helped`: others that are uncovered no more.
    """

    acts: tuple[Act, ...]
    gaps: Hours = field(default_factory=dict)
    hanging: Hours = field(default_factory=dict)
    broken: Hours = field(default_factory=dict)
    weakened: dict[Key, tuple[Resource, ...]] = field(default_factory=dict)
    helped: Hours = field(default_factory=dict)

    @property
    def cost(self) -> float:
        return sum(act.cost for act in self.acts)

    @property
    def gap(self) -> timedelta:
        return lasting(self.gaps)

    @property
    def mended_at(self) -> datetime | None:
        """From when on nothing wanted is uncovered; None: from the first moment."""
        return max((hours[-1][1] for hours in self.gaps.values()), default=None)


def lasting(hours: Hours) -> timedelta:
    pieces = (end - begin for held in hours.values() for begin, end in held)
    return sum(pieces, timedelta())


def weigh(bench: Bench, wanted: Iterable[Key], acts: Iterable[Act]) -> Outcome:
    """Solve again wherever the acts reach; what they do not touch keeps its answers."""
    acts, wanted = tuple(acts), frozenset(wanted)
    touched = {site for act in acts for site in act.sites} | {site for site, _ in wanted}
    found = Outcome(acts, {}, {}, {}, {}, {})
    for site in sorted(touched):
        _weigh_site(bench, site, wanted, found)
    return found


def _weigh_site(bench: Bench, site: str, wanted: frozenset[Key], found: Outcome) -> None:
    before, after = bench.spans(site), bench.spans(site, found.acts)
    for task in sorted({task for span in (*before, *after) for task in span.answers}):
        key = (site, task)
        was, now = windows_of(before, task, uncovered), windows_of(after, task, uncovered)
        bare = windows_of(after, task, _hangs)
        _keep(found.broken, key, without(now, was))
        if key in wanted:
            _keep(found.gaps, key, now)
            _keep(found.hanging, key, bare)
        else:
            _keep(found.helped, key, without(was, now))
            if lost := _newly_hangs_on(before, after, task):
                found.weakened[key] = lost


def _keep(into: Hours, key: Key, hours: tuple[Window, ...]) -> None:
    if hours:
        into[key] = hours


def _newly_hangs_on(
    before: tuple[Span, ...], after: tuple[Span, ...], task: str
) -> tuple[Resource, ...]:
    """Single things whose loss would uncover it in hours in which it stood without them."""
    things = {thing for span in after if task in span.answers for thing in _single(span, task)}
    found = [
        thing
        for thing in things
        if without(_hung_on(after, task, thing), _not_backed_by(before, task, thing))
    ]
    return tuple(sorted(found, key=lambda thing: (thing.kind, thing.id)))


def _single(span: Span, task: str) -> tuple[Resource, ...]:
    answer = span.answers.get(task)
    return () if answer is None else answer.hangs_on


def _hung_on(spans: tuple[Span, ...], task: str, thing: Resource) -> tuple[Window, ...]:
    return united((one.begins, one.ends) for one in spans if thing in _single(one, task))


def _not_backed_by(spans: tuple[Span, ...], task: str, thing: Resource) -> tuple[Window, ...]:
    """When it hung on this already, or was not covered at all."""
    bare = windows_of(spans, task, uncovered)
    return united((*bare, *_hung_on(spans, task, thing)))


def _hangs(answer: Answer) -> bool:
    return unbacked(answer) and not answer.uncovered
