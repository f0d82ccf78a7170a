"""One site on one shift, and the sentence that says how it stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from readiness.board.clashes import clash_words
from readiness.board.days import LINE_DAYS, states_along
from readiness.board.judging import judged
from readiness.board.tasks import TaskBoard, task_board
from readiness.facts import SiteRows, read, situation_of
from register.models import Shift, Site
from register.wording import lower_first

HORIZON_DAYS = 30


@dataclass(frozen=True, slots=True)
class OtherShift:
    """How the same day stands on a shift that the page does not show."""

    name: str
    url: str
    summary: str


@dataclass(frozen=True, slots=True)
class SiteBoard:
    """`tasks` are worst first; `later` counts those of the shift that begin within the horizon."""

    site: Site
    day: date
    shift: Shift
    tasks: tuple[TaskBoard, ...]
    later: int
    on_rota: tuple[str, ...]
    undeclared: int

    @property
    def code(self) -> str:
        return self.site.code

    @property
    def first_on(self) -> date:
        return self.day

    @property
    def last_on(self) -> date:
        """The last day that the lines show."""
        return self.day + timedelta(days=LINE_DAYS - 1)

    @property
    def needing(self) -> tuple[TaskBoard, ...]:
        return tuple(task for task in self.tasks if task.state != "no-rescue-cover-needed")

    @property
    def uncovered(self) -> tuple[TaskBoard, ...]:
        return tuple(task for task in self.tasks if task.uncovered)

    @property
    def hanging(self) -> tuple[TaskBoard, ...]:
        return tuple(task for task in self.tasks if task.state == "covered-no-backup")

    @property
    def summary(self) -> str:
        if not self.needing:
            return nothing_declared(self.undeclared)
        counted = count_words(len(self.uncovered), len(self.needing), len(self.hanging))
        return " ".join([*counted, *self._rota_words()])

    def _rota_words(self) -> list[str]:
        return [] if self.on_rota else [_("Nobody is on the rota of this shift.")]


def site_board(site: Site, day: date, shift: Shift) -> SiteBoard:
    """Judged now, from what the register holds now."""
    (rows,) = read([site], day, day + timedelta(days=HORIZON_DAYS))
    return board_of(rows, day, shift)


def board_of(rows: SiteRows, day: date, shift: Shift) -> SiteBoard:
    situation = situation_of(rows, day, shift, HORIZON_DAYS)
    found = judged(situation)
    along = states_along(rows, shift, day) if found else {}
    rows_of = {task.code: task for task in rows.tasks}
    boards = [
        task_board(rows_of[task], shift, answer, situation, along.get(task, ()))
        for task, answer in found.items()
    ]
    return SiteBoard(
        site=rows.site,
        day=day,
        shift=shift,
        tasks=tuple(sorted(boards, key=lambda one: (one.trouble, one.id))),
        later=len(situation.tasks) - len(found),
        on_rota=_on_rota(rows, day, shift),
        undeclared=undeclared_pieces(rows, day),
    )


def other_shifts(rows: SiteRows, day: date, shown: Shift) -> tuple[OtherShift, ...]:
    """Those with tasks, so that a quiet day shift never hides a night without cover."""
    found = []
    here = frozenset(_states(rows, day, shown))
    for shift in rows.shifts:
        by_task = {} if shift == shown else _states(rows, day, shift)
        if states := list(by_task.values()):
            uncovered = sum(state in {"not-covered", "not-assessed"} for state in states)
            hanging = states.count("covered-no-backup")
            clash = clash_words([(shown, here), (shift, frozenset(by_task))])
            words = " ".join([*count_words(uncovered, len(states), hanging), clash]).strip()
            url = f"{rows.site.get_absolute_url()}?on={day.isoformat()}&shift={shift.pk}"
            found.append(OtherShift(f"{shift.name} {shift.hours}", url, lower_first(words)))
    return tuple(found)


def _states(rows: SiteRows, day: date, shift: Shift) -> dict[str, str]:
    """Of the tasks that need cover, by task."""
    found = judged(situation_of(rows, day, shift, 0)).items()
    return {
        task: answer.state for task, answer in found if answer.state != "no-rescue-cover-needed"
    }


def _on_rota(rows: SiteRows, day: date, shift: Shift) -> tuple[str, ...]:
    there = [
        entry
        for (_person, worked), entries in rows.rota.items()
        for entry in entries
        if worked == shift.pk and entry.day_on == day
    ]
    return tuple(sorted(f"{entry.person} ({entry.zone})" for entry in there))


def undeclared_pieces(rows: SiteRows, day: date) -> int:
    """Arrest equipment on issue where no task that may rely on it is declared for the day.

    Without a declared task nothing is known of the work, so it is never shown as covered.
    """
    declared = any(
        task.from_on <= day <= task.to_on and task.system != task.System.COLLECTIVE
        for task in rows.tasks
    )
    return 0 if declared else rows.arrest_items_on_issue


def count_words(uncovered: int, needing: int, hanging: int) -> list[str]:
    """How many are not covered, or that all are; and how many hang on one thing."""
    if uncovered:
        said = [
            ngettext(
                "Its one task is not covered.",
                "%(uncovered)d of %(needing)d tasks not covered.",
                needing,
            )
            % {"uncovered": uncovered, "needing": needing}
        ]
    elif needing == 2:  # noqa: PLR2004
        said = [_("Both tasks are covered.")]
    else:
        said = [
            ngettext("Its one task is covered.", "All %(needing)d tasks are covered.", needing)
            % {"needing": needing}
        ]
    if hanging:
        words = ngettext("%(n)d hangs on one thing.", "%(n)d hang on one thing.", hanging)
        said.append(words % {"n": hanging})
    return said


def nothing_declared(undeclared: int) -> str:
    if not undeclared:
        return _("No task that needs rescue cover is declared.")
    return ngettext(
        "No task is declared, but %(n)d piece of arrest equipment is on issue: not known to be "
        "covered.",
        "No task is declared, but %(n)d pieces of arrest equipment are on issue: not known to be "
        "covered.",
        undeclared,
    ) % {"n": undeclared}
