"""What is in trouble over the days ahead: tasks not covered, contested, lapsing, or without backup."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from readiness.rules.cover import Answer
from readiness.rules.remedies.acts import Key
from readiness.rules.remedies.bench import Bench, unbacked
from readiness.rules.spans import Span
from readiness.rules.windows import Window, united


@dataclass(frozen=True, slots=True)
class Trouble:
    """One task in one kind of trouble: every stretch of it, and the answers there, each once.

    `kind` is "uncovered", "contested", "lapsing" (covered now, not later) or "unbacked".
    """

    key: Key
    kind: str
    hours: tuple[Window, ...]
    answers: tuple[Answer, ...]

    @property
    def first(self) -> datetime:
        return self.hours[0][0]


def troubles(bench: Bench, site: str) -> tuple[Trouble, ...]:
    """Those of one site: what is not covered before what only lacks backup, the earliest first."""
    spans = bench.spans(site)
    tasks = sorted({task for span in spans for task in span.answers})
    found = [one for task in tasks for one in _of_task(spans, (site, task))]
    return tuple(sorted(found, key=lambda one: (one.kind == "unbacked", one.first, one.key)))


def _of_task(spans: tuple[Span, ...], key: Key) -> Iterator[Trouble]:
    by_kind: dict[str, list[Span]] = {}
    was_covered = False
    for span in spans:
        answer = span.answers.get(key[1])
        if answer is None:
            continue
        if unbacked(answer):
            by_kind.setdefault(_kind(answer, later=was_covered), []).append(span)
        was_covered = was_covered or answer.covered
    for kind, held in by_kind.items():
        hours = united((span.begins, span.ends) for span in held)
        answers = _each_once(span.answers[key[1]] for span in held)
        yield Trouble(key, kind, hours, answers)


def _kind(answer: Answer, *, later: bool) -> str:
    if not answer.uncovered:
        return "unbacked"
    if any(reason.code == "contested" for reason in answer.reasons):
        return "contested"
    return "lapsing" if later else "uncovered"


def _each_once(answers: Iterable[Answer]) -> tuple[Answer, ...]:
    """The same reasons told once, whoever serves meanwhile."""
    found: dict[object, Answer] = {}
    for answer in answers:
        told = (answer.state, answer.reasons, answer.missing, answer.hangs_on)
        found.setdefault(repr(told), answer)
    return tuple(found.values())
