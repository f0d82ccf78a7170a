"""The visits of one inspector as a dated list: what to look at on each, by the place it is in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.translation import gettext as _

from inspections.models import Visit as AcceptedVisit
from inspections.work_board import Planned
from inspections.work_facts import items_by_key
from inspections.work_wording import classes_words, time_words
from register.models import Item, Person, Site

Found = tuple[date, Site, Person, list[int], int, int | None]


@dataclass(frozen=True, slots=True)
class Spot:
    """A place or a person at the site, and the items to be had from there."""

    name: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class VisitRow:
    """One visit, proposed or accepted (then with its key)."""

    day: date
    site: Site
    inspector: Person
    number: int
    time: str
    classes: str
    along: int
    spots: tuple[Spot, ...]
    keys: tuple[int, ...]
    accepted: int | None = None


def visit_rows(
    plan: Planned,
    accepted: Sequence[AcceptedVisit],
    people: dict[int, Person],
    sites: dict[int, Site],
    minutes: dict[str, int],
) -> list[VisitRow]:
    """All visits in the order of their days; one question for all their items."""
    begins = plan.question.begins
    found: list[Found] = [
        (
            begins + timedelta(days=visit.day),
            sites[visit.site],
            people[visit.inspector],
            plan.keys(visit),
            len(plan.keys(visit)) - len(visit.pieces),
            None,
        )
        for visit in plan.plan.visits
        if visit.inspector in people
    ]
    found += [
        (one.day_on, one.site, one.inspector, [item.pk for item in one.items.all()], 0, one.pk)
        for one in accepted
    ]
    items = items_by_key(key for each in found for key in each[3])
    rows = [_row(each, items, minutes) for each in found]
    return sorted(rows, key=lambda row: (row.day, row.inspector.name, row.site.name))


def _row(found: Found, items: Mapping[int, Item], minutes: Mapping[str, int]) -> VisitRow:
    day, site, inspector, keys, along, accepted = found
    inside = [items[key] for key in keys if key in items]
    numbers = Counter(item.product.equipment_class for item in inside)
    return VisitRow(
        day=day,
        site=site,
        inspector=inspector,
        number=len(inside),
        time=time_words(sum(minutes[slug] * number for slug, number in numbers.items())),
        classes=classes_words(numbers),
        along=along,
        spots=_spots(inside),
        keys=tuple(item.pk for item in inside),
        accepted=accepted,
    )


def _spots(items: Iterable[Item]) -> tuple[Spot, ...]:
    found: dict[str, list[Item]] = {}
    for item in items:
        found.setdefault(_spot(item), []).append(item)
    return tuple(
        Spot(name, tuple(sorted(found[name], key=lambda one: (one.product.kind_name, one.code))))
        for name in sorted(found)
    )


def _spot(item: Item) -> str:
    """Who has it to be called in, else where it is."""
    if item.holder:
        return _("With %(name)s") % {"name": item.holder.name}
    if item.kit:
        return _("Kit %(kit)s") % {"kit": item.kit.name}
    return item.place or (item.zone.name if item.zone else item.get_custody_display())
