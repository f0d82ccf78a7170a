"""Where an item goes, and what that does to its dates: what is put up anew is inspected there."""

from __future__ import annotations

from django.db import transaction

from inspections.conditions import refresh_due
from register.actions import custody
from register.models import Item, Site, Stamp, Zone


@transaction.atomic
def arrive(item: Item, *, at: Site, zone: Zone | None = None, stamp: Stamp) -> Item:
    """Scan the item in at a site; its copied due day follows at once."""
    return _counted_anew(custody.arrive(item, at=at, zone=zone, stamp=stamp))


@transaction.atomic
def place_at(item: Item, *, zone: Zone, place: str, stamp: Stamp) -> Item:
    """Say where on its site a kit hangs or an anchor is put up; its copied due day follows."""
    return _counted_anew(custody.place_at(item, zone=zone, place=place, stamp=stamp))


def _counted_anew(item: Item) -> Item:
    refresh_due([Item.objects.select_related("product").get(pk=item.pk)])
    return item
