"""The morning page: every site over the shifts of its day, worst first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from readiness.board.clashes import clash_words
from readiness.board.days import LINE_DAYS
from readiness.board.sites import (
    HORIZON_DAYS,
    SiteBoard,
    board_of,
    count_words,
    nothing_declared,
    undeclared_pieces,
)
from readiness.board.tasks import TaskBoard
from readiness.facts import SiteRows, read
from register.models import Site


@dataclass(frozen=True, slots=True)
class SiteMorning:
    """One site over its day; each task stands with its worst shift."""

    site: Site
    day: date
    boards: tuple[SiteBoard, ...]
    tasks: tuple[TaskBoard, ...]
    undeclared: int

    @property
    def code(self) -> str:
        return self.site.code

    @property
    def name(self) -> str:
        return self.site.name

    @property
    def first_on(self) -> date:
        return self.day

    @property
    def last_on(self) -> date:
        """The last day that the lines show."""
        return self.day + timedelta(days=LINE_DAYS - 1)

    @property
    def url(self) -> str:
        """To the site's page, on the shift in most trouble."""
        worst = max(self.boards, key=lambda board: len(board.uncovered), default=None)
        shift = f"&shift={worst.shift.pk}" if worst else ""
        return f"{self.site.get_absolute_url()}?on={self.day.isoformat()}{shift}"

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
    def idle_store(self) -> bool:
        """A store where nothing is declared has no work at height to show."""
        return self.site.is_store and not self.tasks

    @property
    def trouble(self) -> tuple[int, int, int, str]:
        """Not covered first, then undeclared work, then what hangs on one thing."""
        if self.uncovered:
            return (0, -len(self.uncovered), -len(self.hanging), self.name)
        if self.undeclared or not self.boards or self.clash:
            return (1, -self.undeclared, 0, self.name)
        return (2 if self.hanging else 3, -len(self.hanging), 0, self.name)

    @property
    def summary(self) -> str:
        """How many are covered, or what is not known."""
        if not self.boards:
            return _("No shifts are set up, so nobody can be on the rota and nothing is covered.")
        if not self.needing:
            return nothing_declared(self.undeclared)
        counted = count_words(len(self.uncovered), len(self.needing), len(self.hanging))
        return " ".join([*counted, self.clash]).strip()

    @property
    def clash(self) -> str:
        """The warning where shifts of the day share hours; '' for none."""
        needing = [(one.shift, frozenset(task.id for task in one.needing)) for one in self.boards]
        return clash_words(needing)

    @property
    def in_short(self) -> str:
        """As `summary`, but what hangs on one thing is told only where that is the worst."""
        if not self.uncovered:
            return self.summary
        counted = count_words(len(self.uncovered), len(self.needing), 0)
        return " ".join([*counted, self.clash]).strip()

    @property
    def why(self) -> str:
        """The first reason of the task in most trouble."""
        if not self.uncovered:
            return ""
        worst = self.uncovered[0]
        return f"{worst.id}, {worst.shift}: {worst.headline}"


def morning_of(sites: Sequence[Site], day: date) -> list[SiteMorning]:
    """Each site judged now for all shifts of the day, the one in most trouble first."""
    found = [_site_morning(rows, day) for rows in read(sites, day, _horizon(day))]
    return sorted((one for one in found if not one.idle_store), key=lambda one: one.trouble)


def _horizon(day: date) -> date:
    return day + timedelta(days=HORIZON_DAYS)


def _site_morning(rows: SiteRows, day: date) -> SiteMorning:
    boards = tuple(board_of(rows, day, shift) for shift in rows.shifts)
    worst: dict[str, TaskBoard] = {}
    for board in boards:
        for task in board.tasks:
            if task.id not in worst or task.trouble < worst[task.id].trouble:
                worst[task.id] = task.with_shift()
    return SiteMorning(
        site=rows.site,
        day=day,
        boards=boards,
        tasks=tuple(sorted(worst.values(), key=lambda one: (one.trouble, one.id))),
        undeclared=undeclared_pieces(rows, day),
    )


def headline(sites: Sequence[SiteMorning], checked: str) -> str:
    """The page in one sentence. `checked` is the time, as a clock on site shows it."""
    needing = sum(len(site.needing) for site in sites)
    uncovered = sum(len(site.uncovered) for site in sites)
    hanging = sum(len(site.hanging) for site in sites)
    silent = [site.name for site in sites if site.undeclared or not site.boards]
    if uncovered:
        return ngettext(
            "%(uncovered)d of %(needing)d task not covered, checked %(at)s.",
            "%(uncovered)d of %(needing)d tasks not covered, checked %(at)s.",
            needing,
        ) % {
            "uncovered": uncovered,
            "needing": needing,
            "at": checked,
        }
    if silent:
        return _("Nothing is known of the work at %(sites)s, checked %(at)s.") % {
            "sites": ", ".join(silent),
            "at": checked,
        }
    if not needing:
        return _("No task that needs rescue cover is declared, checked %(at)s.") % {"at": checked}
    clashing = [site.name for site in sites if site.clash]
    if clashing:
        return _("Shifts overlap at %(sites)s, so cover is not certain there, checked %(at)s.") % {
            "sites": ", ".join(clashing),
            "at": checked,
        }
    return _all_covered(needing, hanging, checked)


def _all_covered(needing: int, hanging: int, checked: str) -> str:
    words = ngettext(
        "The %(n)d task is covered, checked %(at)s",
        "All %(n)d tasks covered, checked %(at)s",
        needing,
    ) % {"n": needing, "at": checked}
    if not hanging:
        return f"{words}."
    more = ngettext("%(n)d hangs on one thing.", "%(n)d hang on one thing.", hanging)
    return f"{words}; {more % {'n': hanging}}"
