"""Sites as a list: where each is, its clock, what it is made of."""

from __future__ import annotations

from django.utils.translation import gettext_lazy

from register.access import sites_for
from register.exports.columns import code, text, yes_no
from register.lists.listing import Asked, Asking, Listing
from register.models import Site


def _sites(asking: Asking) -> Asked:
    rows = list(sites_for(asking.user, "site.edit").prefetch_related("zones", "shifts"))
    return Asked(rows, len(rows))


def _zones(site: Site) -> str:
    return "; ".join(f"{zone.code} {zone.name}" for zone in site.zones.all())


def _shifts(site: Site) -> str:
    return "; ".join(f"{shift.name} {shift.hours}" for shift in site.shifts.all())


SITES = Listing(
    name="sites",
    title=gettext_lazy("Sites"),
    page="register:site-list",
    need="site.edit",
    address="lists/sites/",
    ask=_sites,
    columns=(
        code("code", gettext_lazy("Code"), "code"),
        text("name", gettext_lazy("Site"), "name"),
        text("address", gettext_lazy("Address"), "address"),
        text("time_zone", gettext_lazy("Time zone"), "time_zone"),
        yes_no("store", gettext_lazy("A store, with no work at height"), "is_store"),
        text("zones", gettext_lazy("Zones"), _zones),
        text("shifts", gettext_lazy("Shifts"), _shifts),
    ),
)
