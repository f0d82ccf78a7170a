"""The fixed anchors of the demo: installed and proof tested zone by zone."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from functools import partial

from inspections.actions.using import accept_into_service
from readiness.demo.looks import look
from readiness.demo.stock import delivery_of, pieces_of
from readiness.demo.world import Happening, World, table
from register.actions.custody import place_at
from register.actions.deliveries import receive_delivery

INSTALLED = 400
"""So many days ago the first site had its anchors installed."""


def anchors(world: World) -> Iterator[Happening]:
    for number, row in enumerate(table("places")):
        zones = [(code, count) for code, _name, count in row["zones"] if count]
        at = world.moment(number * 9 - INSTALLED)
        yield Happening(at, partial(_install, world, row["code"], zones))


def place_of(anchor: str) -> str:
    """The place as painted beside the anchor, for 'silo-1' in the tables."""
    return f"AN-{anchor.upper()}"


def _install(world: World, site: str, zones: list[tuple[str, int]], at: datetime) -> None:
    """One delivery for the site; each anchor fixed in its place, then tested by Dilip."""
    product = world.products["Eye A12"]
    places = [(zone, f"{zone}-{n}") for zone, count in zones for n in range(1, count + 1)]
    pieces = pieces_of(world, product, len(places), at.date())
    made = delivery_of(world, product, site, at.date())
    items = receive_delivery(made, pieces, stamp=world.stamp("petra", at))
    later = at + timedelta(days=1)
    accept_into_service(items, on=later.date(), stamp=world.stamp("petra", later))
    for item, (zone, anchor) in zip(items, places, strict=True):
        stamp = world.stamp("petra", later + timedelta(hours=1))
        place_at(item, zone=world.zones[site, zone], place=place_of(anchor), stamp=stamp)
    look(world, items, kind="installation", by="Dilip Nair", at=later + timedelta(hours=4))
