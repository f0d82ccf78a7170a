"""Brings a kept workbook in: plan it, put it in a thousand lines at a time, keep what stayed out."""

from __future__ import annotations

import gc
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from django.db.models.functions import Now

from inspections.intake.answers import answers_of
from inspections.intake.entering import Setting, enter, products_for
from inspections.intake.fitting import fitted, kept_out
from inspections.intake.held import known_now
from inspections.intake.looking import begin_intake
from inspections.intake.wording import row_told
from inspections.models import BroughtIn, Intake
from inspections.regime import regime_in_force
from register.actions.documents import keep_document
from register.intake.keys import name_key, tag_key
from register.intake.leftover import leftover
from register.intake.plan import DueOf, Plan, plan_rows
from register.intake.reading import Sheets, read
from register.intake.rows import Problem, Row
from register.models import Person, Site, Stamp, Zone

_WORKBOOK = "workbook"


@dataclass(frozen=True, slots=True, kw_only=True)
class IntakeCounts:
    """Lines by what became of them."""

    intake: Intake
    new: int
    same: int
    differs: int
    twice: int
    bad: int


def opened(intake: Intake) -> Sheets:
    """The sheets of the kept file."""
    with intake.document.file.open("rb") as file:
        return read(file.read(), intake.document.name)


def planned(intake: Intake, sheets: Sheets, due_of: DueOf | None = None) -> Plan:
    """The plan by the answers as they stand; nothing is changed but the progress shown."""
    answers = answers_of(intake)
    plan = plan_rows(
        sheets,
        answers.mapping,
        answers.choices(intake.brought_on),
        known_now(),
        due_of=due_of,
        progress=lambda done, total: show_progress(intake, done, total),
    )
    return fitted(plan)


def show_progress(intake: Intake, done: int, total: int) -> None:
    """Kept at once, for the page that watches; the moment is the database's own."""
    intake.lines_done, intake.lines_total = done, max(done, total)
    kept = {"lines_done": done, "lines_total": intake.lines_total, "moved_at": Now()}
    Intake.objects.filter(pk=intake.pk).update(**kept)


def apply_intake(intake: Intake, *, stamp: Stamp) -> IntakeCounts:
    """Bring in all lines that can go in. Each thousand is kept for good before the next begins.

    After a stop it can be called again: what went in then is 'same' now.
    """
    sheets = opened(intake)
    plan = planned(intake, sheets)
    plan = apply_plan(plan, intake, stamp=stamp)
    _keep_leftover(plan, intake, sheets, stamp)
    intake.counts = dict(plan.counts)
    intake.state, intake.ended_at, intake.message = Intake.State.DONE, stamp.at, ""
    intake.save(update_fields=["counts", "state", "ended_at", "message", "leftover"])
    return IntakeCounts(intake=intake, **plan.counts)


def apply_plan(plan: Plan, intake: Intake, *, stamp: Stamp) -> Plan:
    """Put the new lines of the plan in; returns the plan with those that failed staying out."""
    setting = _setting(plan, intake, stamp)
    total = plan.counts["new"]
    failed: dict[tuple[str, int], Problem] = {}
    done = 0
    show_progress(intake, 0, total)
    gc.freeze()  # the plan stays to the end: without this its rows are gone through again and again
    try:
        for rows in plan.chunks():
            failed |= enter(rows, setting).failed
            done += len(rows)
            show_progress(intake, done, total)
    finally:
        gc.unfreeze()
    return kept_out(plan, failed) if failed else plan


def _setting(plan: Plan, intake: Intake, stamp: Stamp) -> Setting:
    answers = answers_of(intake)
    return Setting(
        intake=intake,
        mapping=answers.mapping,
        inspector=answers.inspector,
        products=products_for(plan.of("new"), stamp),
        sites={site.code: site for site in Site.objects.all()},
        zones={(zone.site_id, name_key(zone.name)): zone for zone in Zone.objects.all()},
        people=_people_by_name(intake.brought_on),
        marks=_marks(plan),
        regime=regime_in_force(),
        stamp=stamp,
    )


def _marks(plan: Plan) -> frozenset[str]:
    """Every mark that a workbook gave an item, this one's among them."""
    held = BroughtIn.objects.exclude(old_mark="").values_list("old_mark", flat=True)
    return frozenset(map(tag_key, held)) | {tag_key(row.tag) for row in plan.rows if row.tag}


def _people_by_name(on: date) -> dict[str, Person]:
    """Who can be told by name alone; a name that two people bear leads to nobody."""
    found: dict[str, list[Person]] = {}
    for person in Person.objects.here_on(on):
        found.setdefault(person.name, []).append(person)
    return {name: people[0] for name, people in found.items() if len(people) == 1}


def _keep_leftover(plan: Plan, intake: Intake, sheets: Sheets, stamp: Stamp) -> None:
    """The lines that stayed out, as a workbook beside the first."""
    if not plan.counts["bad"]:
        return
    mapping = answers_of(intake).mapping

    def told(row: Row) -> str:
        return row_told(row, mapping[row.sheet])

    content = leftover(sheets, mapping, plan, told)
    name = f"stayed-out-{intake.pk}.xlsx"
    intake.leftover = keep_document(content, name=name, kind=_WORKBOOK, stamp=stamp.again())


def bring_in_workbook(
    content: bytes,
    name: str,
    *,
    stamp: Stamp,
    on: date,
    date_order: str,
    sites: Mapping[str, str] | None = None,
) -> IntakeCounts:
    """All steps at once, as guessed: for the command line and the demo.

    ``sites``: text in the file -> site code; without it texts are matched with the sites' names.
    Raises register.intake.unreadable.Unreadable where the file as a whole is no use.
    """
    intake = begin_intake(content, name, on=on, stamp=stamp)
    intake.choices |= {"date_order": date_order}
    if sites is not None:
        intake.choices |= {"sites": {name_key(text): code for text, code in sites.items()}}
    intake.state = Intake.State.APPLYING
    intake.save(update_fields=["choices", "state"])
    return apply_intake(intake, stamp=stamp.again())
