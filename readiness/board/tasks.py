"""One task on one shift as a row of a page: state, why, who and what serves it, and its line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from readiness.board.days import line_words
from readiness.board.judging import EXPOSED_UNKNOWN
from readiness.board.lapses import lapse_words
from readiness.models import Task as TaskRow
from readiness.rules.cover import Answer, Serves
from readiness.rules.demand import Resource
from readiness.rules.line import Drawing, strands
from readiness.rules.situation import Situation
from readiness.wording import missing_name, reason_sentence, state_name
from register.models import Shift

LINE_WIDTH, LINE_HEIGHT = 392, 28

TROUBLE = (
    "not-covered",
    "not-assessed",
    "covered-no-backup",
    "covered-with-backup",
    "no-rescue-cover-needed",
)
"""Worst first."""


@dataclass(frozen=True, slots=True)
class NamedServes:
    """Who and what serves the task, by the names on the site; minutes from alarm to safety."""

    kit: str
    people: tuple[str, ...]
    anchor: str
    first_aiders: tuple[str, ...]
    minutes: str


@dataclass(frozen=True, slots=True)
class TaskBoard:
    id: str
    name: str
    url: str
    why_url: str
    zone: str
    shift: str
    answer: Answer
    state_words: str
    reasons: tuple[str, ...]
    missing: tuple[str, ...]
    restraint: str
    hangs_on: tuple[str, ...]
    lapses: str
    serves: NamedServes | None
    line: Drawing | None
    line_words: str

    @property
    def state(self) -> str:
        return self.answer.state

    @property
    def trouble(self) -> int:
        return TROUBLE.index(self.state)

    @property
    def uncovered(self) -> bool:
        """Not assessed counts as not covered."""
        return self.trouble < TROUBLE.index("covered-no-backup")

    def with_shift(self) -> TaskBoard:
        """For a page that shows several shifts."""
        return replace(self, state_words=f"{self.state_words} – {self.shift}")

    @property
    def headline(self) -> str:
        """The one sentence that says why not."""
        if self.reasons:
            return self.reasons[0]
        return _("Not known: %(what)s.") % {"what": ", ".join(self.missing)} if self.missing else ""


@dataclass(frozen=True, slots=True)
class Names:
    """What people on site call each kit, person and anchor."""

    people: Mapping[str, str]
    anchors: Mapping[str, str]

    def of(self, thing: Resource) -> str:
        if thing.kind == "kit":
            return _("kit %(name)s") % {"name": thing.id}
        if thing.kind == "anchor":
            return _("anchor %(name)s") % {"name": self.anchors.get(thing.id, thing.id)}
        return self.people.get(thing.id, thing.id)

    def serves(self, serves: Serves | None) -> NamedServes | None:
        if serves is None:
            return None
        return NamedServes(
            kit=serves.kit,
            people=tuple(self.people.get(one, one) for one in serves.people),
            anchor=self.anchors.get(serves.anchor, serves.anchor),
            first_aiders=tuple(self.people.get(one, one) for one in serves.first_aiders),
            minutes=f"{serves.minutes:g}",
        )


def names_in(situation: Situation) -> Names:
    return Names(
        people={person.id: person.name for person in situation.people},
        anchors={anchor.id: anchor.name or anchor.id for anchor in situation.anchors},
    )


def task_board(
    row: TaskRow, shift: Shift, answer: Answer, situation: Situation, states: tuple[str, ...]
) -> TaskBoard:
    """`situation`: the one in which the answer was found."""
    url, day, names = row.get_absolute_url(), situation.on, names_in(situation)
    task = next(one for one in situation.tasks if one.id == row.code)
    return TaskBoard(
        id=row.code,
        name=row.name,
        url=url,
        why_url=f"{url}why/?on={day.isoformat()}&shift={shift.pk}",
        zone=row.zone.name,
        shift=shift.name,
        answer=answer,
        state_words=state_name(answer.state),
        reasons=tuple(reason_sentence(reason) for reason in answer.reasons),
        missing=missing_words(answer.missing),
        restraint=restraint_words(row, answer),
        hangs_on=tuple(names.of(thing) for thing in answer.hangs_on),
        lapses=lapse_words(answer, task, situation),
        serves=names.serves(answer.serves),
        line=strands(states, LINE_WIDTH, LINE_HEIGHT) if states else None,
        line_words=line_words(states, day) if states else "",
    )


def restraint_words(row: TaskRow, answer: Answer) -> str:
    """Why what is called restraint is judged as arrest, or what restraint rests on."""
    if answer.treated_as_arrest:
        return reason_sentence(answer.treated_as_arrest)
    if row.system != TaskRow.System.RESTRAINT or answer.state != "no-rescue-cover-needed":
        return ""
    return _(
        "Restraint by the figures declared: the lanyard reaches %(reach)g m, the line gives "
        "%(gives)g m, the edge is at %(edge)g m. Only if nobody can reach any edge, opening or "
        "fragile surface at full length."
    ) % {
        "reach": row.restraint_reach_m or 0,
        "gives": row.restraint_deflection_m or 0,
        "edge": row.restraint_edge_m or 0,
    }


def missing_words(keys: Iterable[str]) -> tuple[str, ...]:
    """What must be known first, in words."""
    return tuple(
        _("who is exposed") if key == EXPOSED_UNKNOWN else missing_name(key) for key in keys
    )
