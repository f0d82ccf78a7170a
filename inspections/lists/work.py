"""The work ahead: the weeks with what falls due in them, and the visits with their items."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.forms.work import AheadForm
from inspections.lists.cautions import LAST_GOOD_DAY, PERSONAL
from inspections.lists.judged import item_columns, spot_columns
from inspections.visit_lists import VisitRow, visit_rows
from inspections.work_board import (
    PLANNED_WEEKS,
    accepted_from,
    planned,
    taken_hours,
    today_of,
    week_rows,
)
from inspections.work_facts import capacity_from, loads_of, weeks_ahead
from register.access import sites_for
from register.exports.columns import day, number, text
from register.lists.listing import Asked, Asking, Listing, filters_of, refuse_unread
from register.models import Item, Person

PROPOSAL = gettext_lazy(
    "A plan is a proposal: only an accepted visit is kept, and no visit moves a due day."
)


def _asked(asking: Asking) -> AheadForm:
    form = AheadForm(asking.given or {"weeks": PLANNED_WEEKS}, user=asking.user)
    refuse_unread(form)
    return form


@dataclass(frozen=True, slots=True)
class WeekOf:
    """One week by its first and last day."""

    first_on: date
    last_on: date
    row: Any


def _weeks(asking: Asking) -> Asked:
    form = _asked(asking)
    every = list(sites_for(asking.user, "work.see"))
    site, weeks = form.cleaned_data["site"], form.cleaned_data["weeks"]
    today = today_of(every, asking.at)
    capacity = capacity_from(today)
    loads = loads_of([site] if site else every, today, weeks)
    taken = taken_hours(accepted_from(every, today), capacity)
    rows = week_rows(loads, today, weeks, capacity, None, ((), taken))
    days = weeks_ahead(today, weeks)
    told = [WeekOf(those[0], those[-1], row) for those, row in zip(days, rows, strict=True)]
    return Asked(told, len(told), filters_of(form))


WORK = Listing(
    name="work-ahead",
    title=gettext_lazy("Work ahead"),
    page="inspections:work-ahead",
    need="work.see",
    address="lists/work-ahead/",
    ask=_weeks,
    cautions=(LAST_GOOD_DAY,),
    columns=(
        day("from_on", gettext_lazy("First day"), "first_on"),
        day("to_on", gettext_lazy("Last day"), "last_on"),
        number("items", gettext_lazy("Items due"), "row.number"),
        text("classes", gettext_lazy("Classes"), "row.classes"),
        number("needed_minutes", gettext_lazy("Minutes needed"), "row.week.needed"),
        number("available_minutes", gettext_lazy("Minutes there are"), "row.week.available"),
    ),
)


@dataclass(frozen=True, slots=True)
class VisitItem:
    """One item of one visit."""

    visit: VisitRow
    item: Item


def _visits(asking: Asking) -> Asked:
    form = _asked(asking)
    every = list(sites_for(asking.user, "work.see"))
    today = today_of(every, asking.at)
    capacity = capacity_from(today)
    plan = planned(every, today, capacity)
    people = {one.pk: one for one in Person.objects.visible_to(asking.user)}
    accepted = [one for one in accepted_from(every, today) if one.inspector_id in people]
    sites = {site.pk: site for site in every}
    found = visit_rows(plan, accepted, people, sites, capacity.minutes)
    site = form.cleaned_data["site"]
    rows = list(_items_of([row for row in found if site in (None, row.site)]))
    return Asked(rows, len(rows), filters_of(form))


def _items_of(visits: list[VisitRow]) -> Iterator[VisitItem]:
    for visit in visits:
        for spot in visit.spots:
            yield from (VisitItem(visit, item) for item in spot.items)


def _state(row: VisitItem) -> str:
    return _("proposed") if row.visit.accepted is None else _("accepted")


VISITS = Listing(
    name="visits",
    title=gettext_lazy("Visits to inspect"),
    page="inspections:work-ahead",
    need="work.see",
    address="lists/visits/",
    ask=_visits,
    at_once=1_000,
    cautions=(PROPOSAL, LAST_GOOD_DAY, PERSONAL),
    columns=(
        day("on", gettext_lazy("Day"), "visit.day"),
        text("inspector", gettext_lazy("Inspector"), "visit.inspector.name"),
        text("at", gettext_lazy("At"), "visit.site.name"),
        text("state", gettext_lazy("State"), _state),
        *item_columns(),
        *(one for one in spot_columns() if one.name != "site"),
    ),
)
