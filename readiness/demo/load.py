"""Load the demo: the rows that stand first, then every happening in the order of its moment."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from django.db import transaction

from inspections.conditions import refresh_due
from readiness.demo.anchors import anchors
from readiness.demo.hatch import hatch
from readiness.demo.kits import kits
from readiness.demo.notices import notices
from readiness.demo.open_round import open_round
from readiness.demo.past import past
from readiness.demo.people import make_people
from readiness.demo.places import make_places, site_codes
from readiness.demo.postboxes import make_postboxes
from readiness.demo.rounds import rounds
from readiness.demo.sent import sent
from readiness.demo.stock import deliveries, make_products
from readiness.demo.sums import sums
from readiness.demo.tasks import tasks
from readiness.demo.troubles import troubles
from readiness.demo.workbook import workbook
from readiness.demo.world import Happening, World
from readiness.models import CoverPolicy, RotaEntry
from register.models import Item, Site
from register.refusal import Refusal

AT_ONCE = 500


@transaction.atomic
def load_demo(day: date, *, share: float = 1.0) -> bool:
    """Load the demo for the day, whole or not at all; False where it is loaded already.

    Refuses a register that holds any other site: invented data never stands beside real data.
    """
    refuse_other_sites()
    if Site.objects.exists():
        return False
    world = World(day, share)
    CoverPolicy.objects.get_or_create(pk=1)
    make_places(world)
    make_products(world)
    make_people(world)
    for happening in sorted(_happenings(world), key=lambda one: one.at):
        happening.do(happening.at)
    past(world)
    make_postboxes(world)
    _refresh_every_due()
    return True


def refuse_other_sites() -> None:
    """Refuse to go on in a register that is not the demo's own."""
    others = Site.objects.exclude(code__in=site_codes())
    if others:
        names = ", ".join(site.name for site in others[:3])
        raise Refusal(
            "register-in-use",
            f"This register holds sites that are not the demo’s ({names}). The demo is not mixed"
            " into it: give the demo a database of its own.",
        )


def loaded_for() -> date | None:
    """The day the demo was loaded for; its rota begins on the day before."""
    first = RotaEntry.objects.order_by("day_on").first()
    return date.fromordinal(first.day_on.toordinal() + 1) if first else None


def _happenings(world: World) -> Iterator[Happening]:
    yield from deliveries(world)
    yield from workbook(world)
    yield from anchors(world)
    yield from kits(world)
    yield from tasks(world)
    yield from sums(world)
    yield from rounds(world)
    yield from hatch(world)
    yield from open_round(world)
    yield from sent(world)
    yield from troubles(world)
    yield from notices(world)


def _refresh_every_due() -> None:
    """What was passed in bulk has left the stored due days behind."""
    every = list(Item.objects.select_related("product").order_by("pk"))
    for start in range(0, len(every), AT_ONCE):
        refresh_due(every[start : start + AT_ONCE])
