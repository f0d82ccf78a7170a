"""Where an item goes, and what that does to its dates: what is put up anew is inspected there."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.conditions import refresh_due
from register.actions import custody
from register.models import Item, Site, Stamp, Zone
from register.refusal import Refusal

AT_HAND = frozenset({"stores", "site", "installed", "cage", "inspector"})


@transaction.atomic
def arrive(item: Item, *, at: Site, zone: Zone | None = None, stamp: Stamp) -> Item:
    """Scan the item in at a site; its copied due day follows at once."""
    return _counted_anew(custody.arrive(item, at=at, zone=zone, stamp=stamp))


@transaction.atomic
def place_at(item: Item, *, zone: Zone, place: str, stamp: Stamp) -> Item:
    """Say where on its site a kit hangs or an anchor is put up; its copied due day follows."""
    return _counted_anew(custody.place_at(item, zone=zone, place=place, stamp=stamp))


@transaction.atomic
def put_up(item: Item, *, zone: Zone, place: str, put_up_on: date, stamp: Stamp) -> Item:
    """An anchor or a line is put up: since that day it is as good as what was found there since."""
    if not item.product.kind.installed:
        raise Refusal(
            "not-installed",
            _("%(item)s is nothing that is put up for good.") % {"item": item.shown_code},
        )
    if item.custody not in AT_HAND:
        raise Refusal(
            "part-elsewhere",
            _("%(item)s is %(custody)s: get it back first.")
            % {"item": item.shown_code, "custody": item.get_custody_display().lower()},
        )
    told: dict[str, Any] = {"zone": zone, "place": place, "put_up_on": put_up_on}
    return _counted_anew(custody.place_at(item, stamp=stamp, **told))


def _counted_anew(item: Item) -> Item:
    refresh_due([Item.objects.select_related("product").get(pk=item.pk)])
    return item
