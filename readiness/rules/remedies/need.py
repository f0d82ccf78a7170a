"""What one task in trouble needs: each moment that stands for a trouble, and what speaks there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from readiness.rules.cover import Answer
from readiness.rules.moments import Moments
from readiness.rules.remedies.acts import Key
from readiness.rules.remedies.bench import Bench, unbacked, uncovered, windows_of
from readiness.rules.remedies.means import Means
from readiness.rules.situation import Plan, Situation, Task
from readiness.rules.suitability import WhyNot, why_not
from readiness.rules.timeline import Timeline
from readiness.rules.windows import Window

MOST_PROBES = 8
TARGET = 15
"""Minutes, until the plan's author says what the target is (a proposal, no source)."""


def plan_to_be(task: Task, on: date) -> Plan:
    """The old plan's figures stand in until its author gives new ones."""
    old = task.plan or Plan("", on, TARGET)
    return replace(old, reviewed=on, matches_task=True, relies_on_emergency_services=False)


@dataclass(frozen=True, slots=True)
class Probe:
    """The site at one moment of the trouble; the task as it is worked on then, with the plan it
    would have were one written: kits and people are judged by that."""

    at: datetime
    situation: Situation
    task: Task
    answer: Answer
    why: WhyNot


@dataclass(frozen=True, slots=True)
class Need:
    """`hours` are those of the trouble, `codes` its reasons."""

    key: Key
    bench: Bench
    means: Means
    probes: tuple[Probe, ...]
    hours: tuple[Window, ...]

    @property
    def site(self) -> str:
        return self.key[0]

    @property
    def timeline(self) -> Timeline:
        return self.bench.timelines[self.site]

    @property
    def task(self) -> Task:
        return next(one.task for one in self.timeline.tasks if one.task.id == self.key[1])

    @property
    def codes(self) -> frozenset[str]:
        """Every reason of every probe, of the task and of any kit and person judged."""
        found = {reason.code for one in self.probes for reason in one.answer.reasons}
        for one in self.probes:
            found |= {reason.code for reason in one.why.task}
            found |= {reason.code for kit in one.why.kits for reason in kit.reasons}
        return frozenset(found)

    @property
    def hangs_on(self) -> frozenset[str]:
        """Kinds of the single things: "kit", "person", "anchor"."""
        return frozenset(thing.kind for one in self.probes for thing in one.answer.hangs_on)


def need_of(bench: Bench, key: Key, means: Means) -> Need | None:
    """None where the task is covered with backup throughout."""
    site, task = key
    spans = bench.spans(site)
    hours = windows_of(spans, task, uncovered) or windows_of(spans, task, unbacked)
    if not hours:
        return None
    probes = tuple(_probes(bench, key))[:MOST_PROBES]
    return Need(key, bench, means, probes, hours)


def _probes(bench: Bench, key: Key) -> Iterator[Probe]:
    """One for each different answer, uncovered ones first."""
    site, task = key
    moments = Moments(bench.timelines[site])
    seen: set[str] = set()
    for span in sorted(bench.spans(site), key=lambda one: _backed(one.answers.get(task))):
        answer = span.answers.get(task)
        if answer is None or not unbacked(answer) or repr(answer.reasons + answer.hangs_on) in seen:
            continue
        seen.add(repr(answer.reasons + answer.hangs_on))
        at = span.ends - timedelta.resolution
        situation = moments.situation(at)
        found = next(one for one in situation.tasks if one.id == task)
        worked = replace(found, plan=plan_to_be(found, situation.on))
        yield Probe(at, situation, worked, answer, why_not(worked, situation, situation.on))


def _backed(answer: Answer | None) -> bool:
    return answer is None or answer.covered
