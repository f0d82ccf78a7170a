"""The question of the plan of visits, from the rows: what falls due where, and who may do it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Count, Exists, OuterRef, Q, QuerySet

from inspections.capacity import hours_by_person, minutes_by_class, rights_from, visit_minutes
from inspections.conditions import usable_on
from inspections.due_board import falling_due
from inspections.models import Authorisation, Visit
from inspections.regime import RegimeInForce, regime_in_force
from inspections.rules.due_weeks import week_of
from inspections.rules.schemes import Interval, interval
from inspections.rules.visit_plan import Ask, Piece
from inspections.rules.workload import (
    INTERVAL_DAYS,
    SCARCE,
    Hours,
    Load,
    Right,
    inspectors_for,
    kind_for,
    need_of,
    weeks_due,
)
from register.models import Item, Person, Site
from register.rules.classes import CLASSES

COLUMNS = (
    *("pk", "site_id", "product__equipment_class", "holder_id", "kit_id", "as_kit"),
    *("good_on", "due__clock"),
)


@dataclass(frozen=True, slots=True)
class Capacity:
    """What the inspectors have: minutes a class, their hours and rights, the days given away."""

    minutes: dict[str, int]
    visit: int
    hours: list[Hours]
    rights: list[Right]


@dataclass(frozen=True, slots=True)
class Question:
    """The ask, and what is out of date or not known already and so has no due day to keep."""

    ask: Ask
    late: tuple[Piece, ...]
    begins: date


def capacity_from(day: date) -> Capacity:
    """Four questions to the database."""
    return Capacity(minutes_by_class(), visit_minutes(), hours_by_person(), rights_from(day))


def loads_of(sites: Sequence[Site], today: date, weeks: int) -> list[Load]:
    """What falls due in each week, counted by the database from the stored copies.

    Overdue and not known stand in the weeks ``OVERDUE`` and ``UNKNOWN``. What falls due again, if
    it is inspected on its due day, is counted again.
    """
    regime = regime_in_force()
    until = today + timedelta(days=7 * weeks)
    rows = (
        falling_due()
        .filter(Q(good_on__lt=until) | Q(good_on=None), site__in=sites)
        .order_by()
        .values_list(
            *("site_id", "product__equipment_class", "due__clock", "good_on"),
            *("use_class", "product__periodic_months"),
        )
        .annotate(n=Count("pk"))
    )
    found: dict[tuple[int, int, str, str], int] = {}
    for site, equipment_class, clock_name, good_on, use_class, stated, number in rows:
        kind = kind_for(clock_name or "", equipment_class)
        months = months_between(regime, equipment_class, use_class, kind, stated)
        for week in weeks_due(good_on, months, today, weeks) if kind else ():
            key = (week, site, equipment_class, kind)
            found[key] = found.get(key, 0) + number
    return [Load(*key, number) for key, number in sorted(found.items())]


def months_between(
    regime: RegimeInForce, equipment_class: str, use_class: str, kind: str, stated: int | None
) -> int | None:
    """The interval of the kind, as its clock counts it; None where it does not come again."""
    own = (stated, regime.own_interval(equipment_class, use_class)) if kind == "detailed" else ()
    intervals = [Interval(months, "own", "stated") for months in own if months]
    found = interval(regime.schemes, equipment_class, use_class, kind, own=intervals)
    return found.months if found else None


def question_of(sites: Sequence[Site], today: date, days: int, capacity: Capacity) -> Question:
    """Everything due within the days that no standing visit holds; three questions more."""
    standing = Visit.objects.standing().filter(day_on__gte=today)
    taken = frozenset(standing.values_list("inspector_id", "day_on"))
    due = falling_due().filter(
        Q(good_on__lt=today + timedelta(days=days)) | Q(good_on=None), site__in=sites
    )
    rows = due.exclude(visits__in=standing).order_by("pk").values_list(*COLUMNS)
    usable = _usable(sites, today)
    pieces = [
        (piece, row[6]) for row in rows if (piece := _piece(row, today, capacity.minutes, usable))
    ]
    good = [piece for piece, last in pieces if last and last >= today]
    late = [piece for piece, last in pieces if not last or last < today]
    needs = {(need[0], need[1]) for piece, _ in pieces for need in [piece.need.split("/")]}
    people = inspectors_for(needs, capacity.hours, capacity.rights, today, days, taken)
    most_out = {
        piece.group: max(1, usable.get(piece.group, 0) - 1) for piece in good if piece.group
    }
    cost = capacity.visit * INTERVAL_DAYS
    return Question(Ask(tuple(good), people, days, cost, most_out), tuple(late), today)


def _usable(sites: Sequence[Site], today: date) -> dict[str, int]:
    """How many usable of each class each site has, by the name of the group."""
    rows = Item.objects.filter(usable_on(today), site__in=sites).order_by()
    counted = rows.values_list("site_id", "product__equipment_class").annotate(n=Count("pk"))
    return {_group(site, kind): number for site, kind, number in counted}


def _group(site: int, equipment_class: str) -> str:
    return f"{site}/{equipment_class}"


def _piece(
    row: tuple[object, ...], today: date, minutes: dict[str, int], usable: dict[str, int]
) -> Piece | None:
    pk, site, equipment_class, holder, kit, as_kit, last, clock_name = row
    assert isinstance(equipment_class, str)  # noqa: S101 - narrows for the type checker
    kind = kind_for(str(clock_name or ""), equipment_class)
    if not kind:
        return None
    in_kit = as_kit or kit
    group = _group(int(str(site)), "rescue-kit" if in_kit else equipment_class)
    scarce = in_kit or (
        1 < usable.get(group, 0) <= SCARCE and not CLASSES[equipment_class].installed
    )
    return Piece(
        key=int(str(pk)),
        site=int(str(site)),
        minutes=minutes[equipment_class],
        due=(last - today).days if isinstance(last, date) and last >= today else 0,
        need=need_of(equipment_class, kind),
        barred=int(str(holder or 0)),
        group=group if scarce else "",
        member=int(str((in_kit or pk) if scarce else 0)),
    )


def weeks_ahead(today: date, weeks: int) -> list[list[date]]:
    """The days of each calendar week that are still to come; the first is what is left of this one."""
    days = [today + timedelta(days=n) for n in range(7 * weeks)]
    found: list[list[date]] = [[] for _ in range(weeks)]
    for day in days:
        week = week_of(day, today)
        if week < weeks:
            found[week].append(day)
    return found


def items_by_key(keys: Iterable[int]) -> dict[int, Item]:
    """The items of a plan with what a list of them shows."""
    rows = Item.objects.filter(pk__in=list(keys))
    return {
        item.pk: item for item in rows.select_related("product", "site", "holder", "zone", "kit")
    }


def without_hours(people: QuerySet[Person], today: date) -> QuerySet[Person]:
    """Those authorised for anything today whose hours nobody has given."""
    right = Authorisation.objects.filter(
        person=OuterRef("pk"), from_on__lte=today, through_on__gte=today
    )
    return people.here_on(today).filter(Exists(right), inspector_hours=None)  # type: ignore[attr-defined,no-any-return]
