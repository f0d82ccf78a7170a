"""A day's passes in one act: what an inspector signs for many items at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime

from django.db.models import Model

from inspections.actions.authority import why_it_does_not_count
from inspections.models import Inspection
from readiness.demo.world import World
from register.clock import day_at
from register.models import Item, Person, Stamp, record

THOROUGH = "thorough-examination"  # always by the maker's periodic procedure too
USERNAMES = {"Huw Penry": "huw", "Dilip Nair": "petra"}  # Petra writes down what Dilip tells her


def look(world: World, items: Sequence[Item], *, kind: str, by: str, at: datetime) -> None:
    """Record that each of these items passed, in bulk and with one act of the ledger.

    What `inspections.actions.inspecting.inspect` asks of one item is asked here of one of each class.
    """
    inspector, on = world.people[by], day_at(items[0].site, at)
    _refuse_what_does_not_count(items, inspector, kind, on)
    stamp = world.stamp(USERNAMES[by], at)
    rows = [_passed(item, kind=kind, on=on, inspector=inspector, stamp=stamp) for item in items]
    Inspection.objects.bulk_create(rows, batch_size=200)
    common = {"kind": kind, "verdict": "pass", "performed_on": on.isoformat(), "counts": True}
    facts: dict[Model, Mapping[str, object]] = {
        row.item: {**common, "inspection": str(row.pk), "defects": list[str]()} for row in rows
    }
    record("inspect", facts, stamp=stamp, sites={item.site_id for item in items})


def _refuse_what_does_not_count(
    items: Sequence[Item], inspector: Person, kind: str, on: date
) -> None:
    """A slip in the tables of the demo stops the load."""
    for item in {item.product.equipment_class: item for item in items}.values():
        if why := why_it_does_not_count(item, inspector, kind, on):
            raise ValueError(f"{inspector} cannot pass {item}: {why}")


def _passed(item: Item, *, kind: str, on: date, inspector: Person, stamp: Stamp) -> Inspection:
    return Inspection(
        item=item,
        kind=kind,
        verdict="pass",
        performed_on=on,
        performed_at=stamp.at,
        recorded_at=stamp.at,
        recorded_by=stamp.by,
        inspector=inspector,
        site_id=item.site_id,
        counts=True,
        covers_periodic=kind == THOROUGH,
    )
