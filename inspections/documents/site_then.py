"""Which pieces were at a site at a past moment, as the chains of the ledger tell it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from register.models import Entry, Item, Kit, Site

ENTERING = ("receive", "take-on", "bring-in")  # the acts by which a piece comes into the register


def items_then(site: Site, moment: datetime) -> list[Item]:
    """Those whose next arrival elsewhere tells that they came from here, and those that are here and
    did not arrive later; what came into the register later was nowhere.

    A piece in a kit goes where its kit goes; which kit it is in is read as of today.
    """
    arrivals = _first_arrivals_after(moment)
    entered = _entered_after(moment)
    bags = dict(Kit.objects.values_list("pk", "item_id"))
    here = Item.objects.filter(site=site)
    came_from = [pk for pk, (_at, before) in arrivals.items() if before == site.pk]
    followed = Item.objects.filter(kit__item__in=came_from)
    found = Item.objects.with_product().filter(pk__in={*_keys(here), *came_from, *_keys(followed)})
    return [
        item
        for item in found.order_by("code")
        if item.pk not in entered and _site_then(item, arrivals, bags) == site.pk
    ]


def _keys(rows: Iterable[Item]) -> set[int]:
    return {item.pk for item in rows}


def _site_then(item: Item, arrivals: dict[int, tuple[datetime, int]], bags: dict[int, int]) -> int:
    mover = bags.get(item.kit_id or 0, item.pk) if item.kit_id else item.pk
    _at, before = arrivals.get(mover) or arrivals.get(item.pk) or (None, item.site_id)
    return before


def _first_arrivals_after(moment: datetime) -> dict[int, tuple[datetime, int]]:
    """By item, when it first arrived anywhere after the moment, and the site it was at before."""
    rows = Entry.objects.filter(thing_kind="item", act__verb="arrive", act__at__gt=moment)
    found: dict[int, tuple[datetime, int]] = {}
    for entry in rows.select_related("act").order_by("act__at", "pk"):
        before = entry.facts.get("before")
        if isinstance(before, int):
            found.setdefault(int(entry.thing_id), (entry.act.at, before))
    return found


def _entered_after(moment: datetime) -> set[int]:
    rows = Entry.objects.filter(thing_kind="item", act__verb__in=ENTERING, act__at__gt=moment)
    return {int(pk) for pk in rows.values_list("thing_id", flat=True)}
