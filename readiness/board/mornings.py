"""The morning page: how every site stands for the next 24 hours, the one in most trouble first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils.translation import gettext as _

from readiness.board.ahead import TaskAhead, tasks_ahead
from readiness.board.counts import Count, count_words, nothing_declared
from readiness.board.days import LINE_DAYS, line_words, states_along, worst_along
from readiness.board.standings import Standing
from readiness.models import Task
from readiness.rules.line import Drawing, strands
from readiness.rules.statement import Statement
from readiness.wording import moment_words
from register.clock import day_at
from register.models import Site

LINE_WIDTH, LINE_HEIGHT = 392, 28


@dataclass(frozen=True, slots=True)
class SiteMorning:
    """One site over the next 24 hours; each task stands with its worst piece.

    `undeclared`: pieces of arrest equipment that people hold where no task is declared that may
    rely on them. `asked_at` is now, as opposed to when the statement was made.
    """

    site: Site
    statement: Statement
    fresh: bool
    asked_at: datetime
    tasks: tuple[TaskAhead, ...]
    undeclared: int
    states: tuple[str, ...]

    @property
    def code(self) -> str:
        return self.site.code

    @property
    def name(self) -> str:
        return self.site.name

    @property
    def url(self) -> str:
        return self.site.get_absolute_url()

    @property
    def first_on(self) -> date:
        return self.asked_at.astimezone(self.statement.zone).date()

    @property
    def last_on(self) -> date:
        """The last day that the line shows."""
        return self.first_on + timedelta(days=LINE_DAYS - 1)

    @property
    def needing(self) -> tuple[TaskAhead, ...]:
        return tuple(task for task in self.tasks if task.needs_cover)

    @property
    def uncovered(self) -> tuple[TaskAhead, ...]:
        """Of a statement that facts have overtaken nothing counts as covered."""
        return tuple(task for task in self.needing if task.uncovered or not self.fresh)

    @property
    def hanging(self) -> tuple[TaskAhead, ...]:
        return tuple(task for task in self.tasks if task.state == "covered-no-backup")

    @property
    def unknown(self) -> bool:
        """Nothing is known of work that there may be; counts as one task that is not covered."""
        overtaken = not self.fresh and not self.needing
        return overtaken or bool(self.undeclared) or not self.statement.staffed

    @property
    def count(self) -> Count:
        hanging = len(self.hanging) if self.fresh else 0
        extra = 1 if self.unknown else 0
        return Count(len(self.needing) + extra, len(self.uncovered) + extra, hanging)

    @property
    def idle_store(self) -> bool:
        """A store where nothing is declared has no work at height to show."""
        return self.site.is_store and self.fresh and not self.tasks

    @property
    def trouble(self) -> tuple[int, int, int, str]:
        """Not covered first, then undeclared work, then what hangs on one thing."""
        if self.uncovered:
            return (0, -self.count.uncovered, -self.count.hanging, self.name)
        if self.unknown:
            return (1, -self.undeclared, 0, self.name)
        return (2 if self.hanging else 3, -self.count.hanging, 0, self.name)

    @property
    def summary(self) -> str:
        """How many are covered, or what is not known."""
        if not self.fresh:
            return self._stale()
        if not self.statement.staffed:
            return _("No shifts are set up, so nobody can be on the rota and nothing is covered.")
        said = [] if not self.needing else count_words(self._declared())
        if self.undeclared or not said:
            said.append(nothing_declared(self.undeclared))
        return " ".join(said)

    def _declared(self) -> Count:
        return Count(len(self.needing), len(self.uncovered), self.count.hanging)

    def _stale(self) -> str:
        if not self.statement.facts:
            return _("Cover here is not worked out yet: nothing counts as covered.")
        words = {"at": moment_words(self.statement.made_at, self.asked_at, self.statement.zone)}
        return (
            _("Facts have changed since this was worked out (%(at)s): nothing counts as covered.")
            % words
        )

    @property
    def worst(self) -> TaskAhead | None:
        return self._told_uncovered[0] if self._told_uncovered else None

    @property
    def others(self) -> tuple[TaskAhead, ...]:
        """Not covered either."""
        return self._told_uncovered[1:]

    @property
    def _told_uncovered(self) -> tuple[TaskAhead, ...]:
        """What only counts as uncovered, because facts have changed, would be told as covered."""
        return tuple(task for task in self.uncovered if task.uncovered)

    @property
    def good_until(self) -> str:
        """Until when every task that is covered now or next stays so; '' where one is not."""
        if self.uncovered or self.unknown or not self.needing:
            return ""
        ends = [task.lapse.begins for task in self.needing if task.lapse]
        if not ends:
            day = moment_words(self.statement.ends, self.asked_at, self.statement.zone)
            return _("Good until %(day)s at least, as things stand.") % {"day": day}
        first = min(self.needing, key=lambda task: task.lapse.begins if task.lapse else max(ends))
        words = {
            "moment": moment_words(min(ends), self.asked_at, self.statement.zone),
            "task": first.id,
        }
        return _("Good until %(moment)s (%(task)s).") % words

    @property
    def line(self) -> Drawing | None:
        """The worst of all tasks along the days to come; of what facts have overtaken none is drawn."""
        drawn = self.states and self.fresh
        return strands(self.states, LINE_WIDTH, LINE_HEIGHT) if drawn else None

    @property
    def line_words(self) -> str:
        return line_words(self.states, self.first_on) if self.states else ""


def morning_of(found: Sequence[Standing], at: datetime) -> list[SiteMorning]:
    """The site in most trouble first; a store without work at height is left out."""
    working = [one for one in site_mornings(found, at) if not one.idle_store]
    return sorted(working, key=lambda one: one.trouble)


def site_mornings(found: Sequence[Standing], at: datetime) -> list[SiteMorning]:
    """Each site, in their order."""
    declared = _declaring([one.site for one in found], at)
    return [_site_morning(one, at, declares=one.site.pk in declared) for one in found]


def _site_morning(standing: Standing, at: datetime, *, declares: bool) -> SiteMorning:
    statement = standing.statement
    ahead = statement.tasks(at, at + timedelta(days=LINE_DAYS))
    lines = [states_along(statement, task, at) for task in ahead]
    return SiteMorning(
        site=standing.site,
        statement=statement,
        fresh=standing.fresh,
        asked_at=at,
        tasks=tasks_ahead(statement, at),
        undeclared=0 if declares else statement.undeclared,
        states=worst_along(lines) if lines else (),
    )


def _declaring(sites: Sequence[Site], at: datetime) -> set[int]:
    """Sites at which a task that may rely on arrest equipment runs about now, in any time zone."""
    near, day = at.date(), timedelta(days=1)
    tasks = Task.objects.filter(site__in=sites, from_on__lte=near + day, to_on__gte=near - day)
    working = tasks.exclude(system=Task.System.COLLECTIVE)
    return {
        task.site_id
        for task in working.select_related("site")
        if task.from_on <= day_at(task.site, at) <= task.to_on
    }
