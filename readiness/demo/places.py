"""The sites of the demo: zones, shifts and the minutes on foot between the zones."""

from __future__ import annotations

from datetime import time

from readiness.demo.world import BEGAN, World, table
from register.actions.papers import name_employer
from register.models import Passage, Shift, Site, Stamp, Zone

NAMES = ("code", "name", "address")


def site_codes() -> frozenset[str]:
    """The codes by which the demo's own sites are known."""
    return frozenset(row["code"] for row in table("places"))


EMPLOYER = "Tarn & Wold Access Ltd"
AT = "3 Wold Yard, Halewick"  # invented


def make_places(world: World) -> None:
    name_employer(
        name=EMPLOYER, address=AT, paper_size="a4", stamp=Stamp(by=None, at=world.moment(-BEGAN))
    )
    for row in table("places"):
        site = Site.objects.create(
            is_store=row.get("is_store", False), **{name: row[name] for name in NAMES}
        )
        world.sites[site.code] = site
        for code, name, _anchors in row["zones"]:
            zone = Zone.objects.create(site=site, code=code, name=name)
            world.zones[site.code, code] = zone
        for name, begins, ends in row["shifts"]:
            hours = {"begins": time.fromisoformat(begins), "ends": time.fromisoformat(ends)}
            world.shifts[site.code, name] = Shift.objects.create(site=site, name=name, **hours)
        for start, end, minutes in row["passages"]:
            ends_of = {"start": world.zones[site.code, start], "end": world.zones[site.code, end]}
            Passage.objects.create(minutes=minutes, **ends_of)
