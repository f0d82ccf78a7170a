"""What lapses in the months ahead, by cause, each with what it uncovers; and what uncovers nothing."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from django.urls import reverse

from readiness.board.causes import Lapse, causes, lapses
from readiness.board.expiries import (
    ANCHOR,
    DRILL,
    KIT,
    OTHER,
    PLAN,
    ROTA,
    TRAINING,
    Expiry,
    expiries,
)
from readiness.board.standings import Standing
from readiness.facts.promised import written_reasons
from readiness.rules.moments import Moments
from readiness.rules.reasons import Reason
from readiness.rules.timeline import Timeline
from readiness.wording import hours_words, reason_sentence
from register.models import Site

COUNTS = (30, 60, 90)
"""Over how many days the page may look."""

KINDS = (KIT, ANCHOR, TRAINING, ROTA, PLAN, DRILL, OTHER)

_KIND_OF = {
    "no-rescue-anchor": ANCHOR,
    "rescuer-lapsed": TRAINING,
    "rescuer-for-other-kit": TRAINING,
    "no-first-aider": TRAINING,
    "no-rescuer": ROTA,
    "too-few-rescuers": ROTA,
    "rescuer-is-exposed": ROTA,
    "rescuer-out-of-reach": ROTA,
    "no-plan": PLAN,
    "drill-due": DRILL,
    "drill-too-slow": DRILL,
}


@dataclass(frozen=True, slots=True)
class Consequence:
    """A task that is not covered from these hours on."""

    task: str
    url: str
    hours: str


@dataclass(slots=True)
class Cause:
    """One thing that ends, and the tasks that it uncovers. `key` stays the same in every language."""

    key: str
    kind: str
    site: Site
    sentence: str
    begins: datetime
    consequences: list[Consequence] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class LapseBoard:
    """`quiet`: last good days that uncover nothing. `unknown`: sites of which nothing is said."""

    groups: tuple[tuple[str, tuple[Cause, ...]], ...]
    quiet: tuple[tuple[Site, Expiry], ...]
    unknown: tuple[Site, ...]

    @property
    def uncovers(self) -> int:
        """How many tasks lose their cover."""
        listed = [cause for _, group in self.groups for cause in group]
        return len({(cause.site.pk, one.task) for cause in listed for one in cause.consequences})


def lapse_board(
    found: Sequence[Standing], known: Mapping[int, Timeline], at: datetime, days: int
) -> LapseBoard:
    """Of the days ahead, solved: a date is told with what it does, not for itself."""
    until = at + timedelta(days=days)
    every: list[Cause] = []
    quiet: list[tuple[Site, Expiry]] = []
    for standing in found:
        if standing.fresh:
            moments = Moments(known[standing.site.pk])
            told = list(_told(standing, moments, at, until))
            every.extend(_gathered(told, standing, at))
            quiet.extend((standing.site, one) for one in _quiet(told, moments, at, until))
    groups = ((kind, _of_kind(kind, every)) for kind in KINDS)
    return LapseBoard(
        groups=tuple((kind, held) for kind, held in groups if held),
        quiet=tuple(sorted(quiet, key=lambda one: (one[1].on, one[1].words))),
        unknown=tuple(one.site for one in found if not one.fresh),
    )


Told = tuple[Lapse, tuple[Reason, ...]]


def _told(standing: Standing, moments: Moments, at: datetime, until: datetime) -> Iterator[Told]:
    statement = standing.statement
    for task in statement.tasks(at, until):
        for lapse in lapses(statement, task, at):
            if lapse.piece.begins < until:
                yield lapse, causes(lapse, moments)


def _gathered(told: Sequence[Told], standing: Standing, at: datetime) -> list[Cause]:
    """One cause that uncovers three tasks is told once."""
    found: dict[tuple[str, str], Cause] = {}
    for lapse, reasons in told:
        for reason in reasons:
            kind, sentence = kind_of(reason), reason_sentence(reason)
            key = (kind, sentence)
            begins = lapse.piece.begins
            cause = found.setdefault(
                key, Cause(_key(reason), kind, standing.site, sentence, begins)
            )
            cause.begins = min(cause.begins, begins)
            cause.consequences.append(_consequence(lapse, standing, at))
    return list(found.values())


def _consequence(lapse: Lapse, standing: Standing, at: datetime) -> Consequence:
    statement = standing.statement
    day = statement.zone
    hours = hours_words(lapse.piece.begins, lapse.piece.ends, at, day)
    url = reverse("readiness:task-detail", args=[standing.site.code, lapse.task])
    return Consequence(lapse.task, url, hours)


def kind_of(reason: Reason) -> str:
    if reason.code.startswith(("kit-", "no-kit")):
        return KIT
    if reason.code.startswith("plan-"):
        return PLAN
    return _KIND_OF.get(reason.code, OTHER)


def _key(reason: Reason) -> str:
    """By its code and facts."""
    return hashlib.sha256(json.dumps(written_reasons([reason])).encode()).hexdigest()[:16]


def _of_kind(kind: str, every: Sequence[Cause]) -> tuple[Cause, ...]:
    held = [cause for cause in every if cause.kind == kind]
    return tuple(sorted(held, key=lambda cause: (cause.begins, cause.sentence)))


def _quiet(
    told: Sequence[Told], moments: Moments, at: datetime, until: datetime
) -> Iterator[Expiry]:
    for expiry in expiries(moments.timeline, moments.day(at), moments.day(until)):
        if not any(_uncovers(expiry, lapse, reasons, moments) for lapse, reasons in told):
            yield expiry


def _uncovers(expiry: Expiry, lapse: Lapse, reasons: Sequence[Reason], moments: Moments) -> bool:
    """Whether it ended between the last covered hour and the first that is not, and is the cause."""
    begun, ended = moments.day(lapse.last - timedelta(seconds=1)), moments.day(lapse.piece.begins)
    if not begun <= expiry.on < ended:
        return False
    return any(_names(expiry, lapse, reason) for reason in reasons)


def _names(expiry: Expiry, lapse: Lapse, reason: Reason) -> bool:
    """In doubt it does: a loss of people may be anybody's."""
    kind = kind_of(reason)
    if expiry.kind in {PLAN, DRILL}:
        return kind == expiry.kind and expiry.thing == lapse.task
    if expiry.kind == TRAINING:
        return kind in {TRAINING, ROTA, OTHER}
    if expiry.kind == ANCHOR:
        return kind == ANCHOR
    return kind == OTHER or (kind == KIT and reason.facts.get("kit") == expiry.thing)
