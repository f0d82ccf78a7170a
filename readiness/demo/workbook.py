"""The firm's own workbook, as untidy as it was, brought in when the register was half a year younger."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from functools import partial

from inspections.intake.apply import bring_in_workbook
from readiness.demo.world import Happening, World
from register.actions.conditions import withdraw
from register.intake.specimen import DATE_ORDER
from register.intake.specimen_files import specimen
from register.models import Item

LINES = 600
BROUGHT_IN = 182  # days ago: before the last time round of every part of every site
NAME = "Harness register v14 FINAL.xlsx"
SEED = 14
AGE_UNKNOWN = "age-not-established"


def workbook(world: World) -> Iterator[Happening]:
    yield Happening(world.moment(-BROUGHT_IN, 10), partial(_bring_in, world))
    yield Happening(world.moment(-BROUGHT_IN + 52, 10), partial(_give_up_on_some, world))


def _bring_in(world: World, at: datetime) -> None:
    content = specimen(at.date(), SEED, round(LINES * world.share))
    stamp = world.stamp("petra", at)
    bring_in_workbook(content, NAME, stamp=stamp, on=at.date(), date_order=DATE_ORDER)


def _give_up_on_some(world: World, at: datetime) -> None:
    """Of those without an age every second is withdrawn; the rest still wait in quarantine."""
    unknown = Item.objects.filter(quarantine_reason=AGE_UNKNOWN).order_by("pk")
    for item in list(unknown)[::2]:
        withdraw(item, ground="age cannot be established", stamp=world.stamp("huw", at))
