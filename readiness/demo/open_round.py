"""A round that Huw broke off yesterday afternoon: it is found again, and its passes wait."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from datetime import datetime, timedelta
from functools import partial

from inspections.actions.finding import Finding, Flaw
from inspections.actions.round_ends import note_stray
from inspections.actions.rounds import Plan, begin_round, look_in_round
from inspections.checklists import checklist_for
from inspections.models import Round
from inspections.rules.checklists import Answers
from readiness.demo.world import Happening, World
from register.models import Item
from register.rules.conditions import Condition

SITE = "corrick"
IN_THE_CRATE = ("helmet", "positioning-lanyard", "energy-absorbing-lanyard", "connector")
ON_THE_LIST, LOOKED_AT, FAILED = 9, 5, 1
CRACKED = Flaw(grade="A", what="Cracked, not a scratch", place="edge", action="taken out of use")


def open_round(world: World) -> Iterator[Happening]:
    yield Happening(world.moment(-1, 14, 10), partial(_go, world))


def _go(world: World, at: datetime) -> None:
    """Four good ones, one out, one that nobody knows; then the van came."""
    site = world.sites[SITE]
    crate = Item.objects.filter(
        site=site,
        condition=Condition.IN_SERVICE,
        custody="stores",
        product__equipment_class__in=IN_THE_CRATE,
    )
    items = list(crate.select_related("product", "site").order_by("pk")[:ON_THE_LIST])
    plan = Plan(
        site=site, kind="detailed", chosen="crate 2: helmets, lanyards, connectors", id=uuid.uuid4()
    )
    huw = world.people["Huw Penry"]
    found = begin_round(plan, inspector=huw, items=items, stamp=world.stamp("huw", at))
    for number, item in enumerate(items[:LOOKED_AT]):
        verdict = "fail" if number == FAILED else "pass"
        _look(world, found, item, verdict, at + timedelta(minutes=2 + 3 * number))
    stamp = world.stamp("huw", at + timedelta(minutes=20))
    note_stray(found, text="no tag, blue helmet", item=None, look=uuid.uuid4(), stamp=stamp)


def _look(world: World, found: Round, item: Item, verdict: str, at: datetime) -> None:
    finding = Finding(
        kind=found.kind,
        verdict=verdict,
        performed_at=at,
        inspector=found.inspector,
        flaws=[CRACKED] if verdict == "fail" else [],
        checklist=checklist_for(item.product.equipment_class),
        answers=Answers(statement="all-good", points={}, measured={}),
    )
    look_in_round(found, item, finding=finding, stamp=world.stamp("huw", at))
