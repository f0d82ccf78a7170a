"""The tasks of a site, and the jobs given out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Q
from django.http import Http404
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.lists.cautions import COVER, PERSONAL
from readiness.models import Job, Task
from register.access import demand, sites_for
from register.clock import day_at
from register.exports.columns import code, day, moment, number, text, there, yes_no
from register.lists.listing import Asked, Asking, Listing
from register.models import Site


def site_asked(asking: Asking, need: str) -> Site:
    """The site the address names, if the user sees it (404) and may do this there (403)."""
    site = Site.objects.visible_to(asking.user).filter(code=asking.named["site"]).first()
    if site is None:
        raise Http404
    demand(asking.user, need, site)
    return site


@dataclass(frozen=True, slots=True)
class TaskRow:
    """A task on the site's day."""

    task: Task
    today: date


def _tasks(asking: Asking) -> Asked:
    site = site_asked(asking, "cover.see")
    tasks = Task.objects.filter(site=site).select_related("site", "zone").prefetch_related("shifts")
    today = day_at(site, asking.at)
    rows = [TaskRow(one, today) for one in tasks.order_by("-to_on", "code")]
    return Asked(rows, len(rows), ((_("Site"), site.name),))


def _runs(row: TaskRow) -> bool:
    return row.task.from_on <= row.today <= row.task.to_on


EMPTY = gettext_lazy("Empty: not known.")

TASKS = Listing(
    name="tasks",
    title=gettext_lazy("Tasks at height"),
    page="readiness:task-list",
    need="cover.see",
    address="lists/tasks/<slug:site>/",
    ask=_tasks,
    cautions=(
        gettext_lazy("A task with unknown facts is not assessed, and counts as not covered."),
    ),
    columns=(
        code("code", gettext_lazy("Code"), "task.code"),
        text("what", gettext_lazy("What is done"), "task.name"),
        text("zone", gettext_lazy("Zone"), "task.zone.name"),
        day("from_on", gettext_lazy("First day"), "task.from_on"),
        day("to_on", gettext_lazy("Last day"), "task.to_on"),
        yes_no("runs_now", gettext_lazy("Runs today"), _runs),
        text(
            "shifts",
            gettext_lazy("Shifts"),
            lambda row: "; ".join(one.name for one in row.task.shifts.all()),
        ),
        text("system", gettext_lazy("Protected by"), lambda row: row.task.get_system_display()),
        number(
            "heaviest_kg",
            gettext_lazy("Heaviest person with tools (kg)"),
            "task.heaviest_kg",
            EMPTY,
        ),
        number(
            "lightest_kg",
            gettext_lazy("Lightest person with tools (kg)"),
            "task.lightest_kg",
            EMPTY,
        ),
        text("way", gettext_lazy("Way to safety"), lambda row: row.task.get_recovery_display()),
        number("lower_m", gettext_lazy("Height to lower (m)"), "task.lower_m", EMPTY),
        number("raise_m", gettext_lazy("Height to raise (m)"), "task.raise_m", EMPTY),
        number("stranded", gettext_lazy("Could be stranded"), "task.stranded", EMPTY),
        number("first_call", gettext_lazy("First call (1 goes first)"), "task.first_call"),
    ),
)


def _jobs(asking: Asking) -> Asked:
    sites = sites_for(asking.user, "job.see")
    rows = Job.objects.filter(Q(site__in=sites) | Q(lender__in=sites))
    rows = rows.select_related("site", "lender", "task", "who", "item")
    ordered = rows.order_by("ended_at", "due_at", "pk")
    return Asked(ordered.iterator(chunk_size=500), rows.count())


JOBS = Listing(
    name="jobs",
    title=gettext_lazy("Jobs"),
    page="readiness:job-list",
    need="job.see",
    address="lists/jobs/",
    ask=_jobs,
    cautions=(COVER, PERSONAL),
    columns=(
        moment("due_at", gettext_lazy("By"), there("due_at")),
        text("what", gettext_lazy("What is to be done"), "what"),
        text("site", gettext_lazy("Site"), "site.name"),
        code("task", gettext_lazy("Task"), "task.code"),
        text("who", gettext_lazy("Who"), "who.name"),
        code("tag", gettext_lazy("Tag"), "item.shown_code"),
        text("state", gettext_lazy("State"), lambda row: row.get_state_display()),
        moment("given_at", gettext_lazy("Given"), there("given_at")),
        moment("ended_at", gettext_lazy("Ended"), there("ended_at")),
        text("ended_how", gettext_lazy("How it ended"), "reason"),
    ),
)
