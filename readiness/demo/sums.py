"""Planning sums kept with tasks of the demo: one enough, one short, one that is to be done again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from functools import partial
from typing import Any

from readiness.actions.sums import keep_sums
from readiness.actions.tasks import change_task
from readiness.demo.anchors import place_of
from readiness.demo.world import Happening, World, table
from readiness.models import Task
from register.models import Item


def sums(world: World) -> Iterator[Happening]:
    """On the day they were done, after the tasks of that day were declared."""
    for number, row in enumerate(table("sums")):
        yield Happening(world.moment(row["days"], 15, number), partial(_keep, world, row))


def _keep(world: World, row: dict[str, Any], at: datetime) -> None:
    task = Task.objects.select_related("site").get(code=row["task"])
    anchor = None
    if place := row.get("anchor"):
        rows = Item.objects.select_related("product", "zone", "site")
        anchor = rows.get(site=task.site, place=place_of(place))
    product = world.products[row["product"]] if "product" in row else None
    parts: dict[str, Any] = {"figures": row["figures"], "product": product, "anchor": anchor}
    keep_sums(task, topic=row.get("topic", "fall"), **parts, stamp=world.stamp("neve", at))
    if heavier := row.get("then_heaviest_kg"):
        task.heaviest_kg = heavier
        later = world.stamp("neve", at + timedelta(minutes=50))
        change_task(
            task,
            shifts=list(task.shifts.all()),
            anchors=list(task.rescue_anchors.select_related("product")),
            stamp=later,
        )
