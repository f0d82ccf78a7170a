"""The tasks of the demo, with their rescue plans and drills."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from functools import partial
from typing import Any

from readiness.actions.plans import record_drill, write_plan
from readiness.actions.tasks import declare_task
from readiness.demo.anchors import place_of
from readiness.demo.kits import put_right
from readiness.demo.world import Happening, World, table
from readiness.models import Plan, Task
from register.models import Item, Kit

APART = ("site", "zone", "first", "last", "shifts", "exposed", "anchors", "plan", "instead_of")
"""Keys of a task's row that are not columns of the task as they stand."""


def tasks(world: World) -> Iterator[Happening]:
    """Each declared in good time; its plan is written the same day and drilled later."""
    for number, row in enumerate(table("tasks")):
        plan = row.get("plan")
        days = plan["reviewed"] if plan else row["first"] - 2
        yield Happening(world.moment(days, 11, number), partial(_declare, world, row))
        if plan and plan["drill"]:
            drilled = world.moment(plan["drill"][0], 14, number)
            yield Happening(drilled, partial(_drill, world, row))


def _declare(world: World, row: dict[str, Any], at: datetime) -> None:
    site = row["site"]
    columns = {key: value for key, value in row.items() if key not in APART}
    task = Task(
        site=world.sites[site],
        zone=world.zones[site, row["zone"]],
        from_on=world.on(row["first"]),
        to_on=world.on(row["last"]),
        **columns,
    )
    places = [place_of(anchor) for anchor in row.get("anchors", ())]
    anchors = Item.objects.filter(site=task.site, place__in=places).select_related("product")
    task = declare_task(
        task,
        shifts=[world.shifts[site, name] for name in row["shifts"]],
        anchors=list(anchors),
        exposed=[world.people[name] for name in row["exposed"]],
        instead_of=row.get("instead_of", ""),
        stamp=world.stamp("neve", at),
    )
    if plan := row.get("plan"):
        said = {key: value for key, value in plan.items() if key not in ("reviewed", "drill")}
        written = Plan(task=task, reviewed_on=at.date(), **said)
        write_plan(written, stamp=world.stamp("neve", at))


def _drill(world: World, row: dict[str, Any], at: datetime) -> None:
    plan = Plan.objects.get(task__code=row["code"])
    _days, minutes, kit = row["plan"]["drill"]
    told = {"drilled_on": at.date(), "minutes": minutes, "kit": Kit.objects.get(name=kit)}
    record_drill(plan, **told, stamp=world.stamp("neve", at))
    put_right(world, kit, at + timedelta(minutes=40))
