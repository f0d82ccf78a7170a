"""One site: its tasks along the days as one drawing, and one day of each as a strip of hours."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext as _

from readiness.board.causes import lapse_words, lapses
from readiness.board.days import day_state, line_words, states_along, stretches
from readiness.board.mornings import SiteMorning
from readiness.board.strips import HourPiece, Strip, strip_of
from readiness.models import Task
from readiness.rules.line import NOT_WORKED, Drawing, strands
from readiness.rules.moments import Moments
from readiness.rules.spans import WORST_FIRST
from readiness.rules.statement import Statement
from readiness.wording import clock_words, short_day

DAY_WIDTH = {14: 28, 30: 28, 90: 12}
"""How many days the drawing may run over, and how wide each is then."""

COUNTS = tuple(DAY_WIDTH)
HEIGHT = 28

_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Asked:
    """The day and the hour a page was asked about, and over how many days it draws."""

    day: date
    moment: datetime
    count: int


@dataclass(frozen=True, slots=True)
class DayCell:
    """One day of one task in the drawing, as a link."""

    url: str
    words: str
    state: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class Stretch:
    first: date
    last: date
    words: str


@dataclass(frozen=True, slots=True)
class TaskRow:
    """A task: its line with a link on each day, and its chosen day from hour to hour.

    `rests_on`: what restraint rests on, where it is believed.
    """

    id: str
    name: str
    zone: str
    url: str
    why_url: str
    drawing: Drawing
    cells: tuple[DayCell, ...]
    stretches: tuple[Stretch, ...]
    words: str
    strip: Strip | None
    lapses: tuple[str, ...]
    rests_on: str
    trouble: tuple[int, str]

    @property
    def pieces(self) -> tuple[HourPiece, ...]:
        return self.strip.pieces if self.strip else ()

    @property
    def state(self) -> str:
        """At the hour that was asked for."""
        return next((one.told.state for one in self.pieces if one.chosen and one.told), "")


@dataclass(frozen=True, slots=True)
class SiteBoard:
    morning: SiteMorning
    asked: Asked
    rows: tuple[TaskRow, ...]

    @property
    def days(self) -> tuple[date, ...]:
        """Along the drawing."""
        first = self.morning.first_on
        return tuple(first + offset * _DAY for offset in range(self.asked.count))

    @property
    def working(self) -> tuple[TaskRow, ...]:
        """On the chosen day."""
        return tuple(row for row in self.rows if row.strip and row.strip.worked)

    @property
    def idle(self) -> tuple[TaskRow, ...]:
        return tuple(row for row in self.rows if row not in self.working)

    @property
    def reaches(self) -> bool:
        """Whether anything is stated of the chosen day."""
        statement = self.morning.statement
        return statement.begins <= self.asked.moment < statement.ends


def site_board(
    morning: SiteMorning, asked: Asked, tasks: Mapping[str, Task], moments: Moments | None
) -> SiteBoard:
    """`moments`: the site as it is known now, which says why cover lapses."""
    statement, at = morning.statement, morning.asked_at
    until = at + asked.count * _DAY
    begins = min(at, asked.moment) if asked.moment >= statement.begins else at
    listed = statement.tasks(begins, max(until, asked.moment + _DAY))
    rows = [_row(task, morning, asked, (tasks.get(task), moments)) for task in listed]
    return SiteBoard(morning, asked, tuple(sorted(rows, key=lambda row: row.trouble)))


def _row(
    task: str, morning: SiteMorning, asked: Asked, known: tuple[Task | None, Moments | None]
) -> TaskRow:
    statement, at = morning.statement, morning.asked_at
    states = states_along(statement, task, at, asked.count)
    row, moments = known
    first, url = morning.first_on, reverse("readiness:task-detail", args=[morning.code, task])
    return TaskRow(
        id=task,
        name=statement.names.tasks.get(task, ""),
        zone=statement.names.zones.get(task, ""),
        url=url,
        why_url=f"{url}why/?{_why_query(asked, statement)}",
        drawing=strands(states, DAY_WIDTH[asked.count] * asked.count, HEIGHT),
        cells=tuple(_cells(task, states, first, asked)),
        stretches=_stretches(states, first),
        words=line_words(states, first),
        strip=strip_of(statement, task, asked.day, asked.moment),
        lapses=tuple(_lapses(statement, task, at, moments)),
        rests_on=rests_on(row),
        trouble=(_trouble(states), task),
    )


def _why_query(asked: Asked, statement: Statement) -> str:
    at = clock_words(asked.moment, statement.zone)
    return urlencode({"on": asked.day.isoformat(), "at": at})


def _stretches(states: tuple[str, ...], first: date) -> tuple[Stretch, ...]:
    found = stretches(states, first)
    return tuple(Stretch(start, end, _spoken(state)) for start, end, state in found)


def _spoken(state: str) -> str:
    words = day_state(state)
    return words[:1].upper() + words[1:]


def _trouble(states: tuple[str, ...]) -> int:
    """By the nearest day on which it is worked."""
    near = next((state for state in states if state != NOT_WORKED), WORST_FIRST[-1])
    return WORST_FIRST.index(near)


def _cells(task: str, states: tuple[str, ...], first: date, asked: Asked) -> Iterator[DayCell]:
    for offset, state in enumerate(states):
        day = first + offset * _DAY
        query = urlencode({"on": day.isoformat(), "days": asked.count})
        words = {"task": task, "day": short_day(day), "state": day_state(state)}
        yield DayCell(
            url=f"?{query}#task-{task}",
            words=_("%(task)s, %(day)s: %(state)s") % words,
            state=state,
            chosen=day == asked.day,
        )


def _lapses(
    statement: Statement, task: str, at: datetime, moments: Moments | None
) -> Iterator[str]:
    """The next one; what comes after it is on the page of all lapses."""
    first = next(lapses(statement, task, at), None)
    if first is not None and moments is not None:
        yield lapse_words(first, moments, at)


def rests_on(row: Task | None) -> str:
    """The figures by which restraint is believed."""
    if row is None or row.system != Task.System.RESTRAINT:
        return ""
    figures = (row.restraint_reach_m, row.restraint_deflection_m, row.restraint_edge_m)
    if None in figures:
        return ""
    return _(
        "Restraint by the figures declared: the lanyard reaches %(reach)g m, the line gives "
        "%(gives)g m, the edge is at %(edge)g m. Only if nobody can reach any edge, opening or "
        "fragile surface at full length."
    ) % {"reach": figures[0], "gives": figures[1], "edge": figures[2]}
