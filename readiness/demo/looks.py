"""A day's passes in one act: what an inspector signs for many items at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime

from django.db.models import Model

from inspections.actions.authority import standing_of
from inspections.checklists import checklist_for, version_kept
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
    stamp = world.stamp(USERNAMES[by], at)
    common = {"kind": kind, "performed_on": on, "inspector": inspector}
    relied_on = {item.product.equipment_class: item for item in items}
    alike = {slug: _of_the_class(item, stamp, **common) for slug, item in relied_on.items()}
    rows = [_passed(item, stamp, alike[item.product.equipment_class]) for item in items]
    Inspection.objects.bulk_create(rows, batch_size=200)
    said = {"kind": kind, "verdict": "pass", "performed_on": on.isoformat(), "counts": True}
    facts: dict[Model, Mapping[str, object]] = {
        row.item: {**said, "inspection": str(row.pk), "defects": list[str]()} for row in rows
    }
    record("inspect", facts, stamp=stamp, sites={item.site_id for item in items})


def _of_the_class(
    item: Item, stamp: Stamp, *, kind: str, performed_on: date, inspector: Person
) -> dict[str, object]:
    """What all passes of one class share; a slip in the tables of the demo stops the load."""
    standing = standing_of(item, inspector, kind, performed_on)
    if standing.not_because:
        raise ValueError(f"{inspector} cannot pass {item}: {standing.not_because}")
    return {
        "kind": kind,
        "performed_on": performed_on,
        "inspector": inspector,
        "authority": standing.authority,
        "checklist": version_kept(checklist_for(item.product.equipment_class), stamp.at),
    }


def _passed(item: Item, stamp: Stamp, alike: Mapping[str, object]) -> Inspection:
    return Inspection(
        item=item,
        verdict="pass",
        performed_at=stamp.at,
        recorded_at=stamp.at,
        recorded_by=stamp.by,
        site_id=item.site_id,
        counts=True,
        covers_periodic=alike["kind"] == THOROUGH,
        statement="all-good",
        **alike,
    )
