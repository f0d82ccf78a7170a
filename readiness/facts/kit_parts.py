"""What a kit is made of now, by which figures measured at it stand or fall."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from readiness.models import Task, TaskSums
from readiness.rules.sums.given import is_of_format
from readiness.rules.sums.redo import Exchanged, Parts, exchanged
from register.models import Kit, Site

BEARS_LOAD = (
    *("descender", "lifting-device", "rescue-harness", "rescue-loop", "rope-adjuster"),
    *("rope", "sling", "connector", "pulley", "tripod", "stretcher"),
)
"""Classes that the casualty hangs on."""
MEASURED = (*BEARS_LOAD, "tool")
"""Those, and the poles: whatever a figure of the sums of a rescue was measured at."""


def parts_of(kit: Kit) -> dict[str, str]:
    """By the row of the item, which no new tag changes: the kit itself and each such part, in words."""
    held = [part for part in kit.parts.all() if part.item is not None]
    measured = {
        str(part.item_id): f"{part.role} {part.item.shown_code}"
        for part in held
        if part.item is not None and part.item.product.equipment_class in MEASURED
    }
    return {str(kit.item_id): f"{kit.name} {kit.item.shown_code}", **measured}


def measured_with(task: Task, figures: Mapping[str, Any]) -> dict[str, dict[str, str]]:
    """By kit with figures, its parts now. A kit that is not at the site keeps the parts of last time:
    its figures were only carried along."""
    named = sorted({str(row["kit"]) for row in figures.get("kits", ())})
    before = task.sums.filter(topic=TaskSums.Topic.RESCUE).order_by("-version").first()
    kept: dict[str, dict[str, str]] = before.rests_on.get("kit_parts", {}) if before else {}
    here = {kit.name: parts_of(kit) for kit in _kits(task.site, named)}
    return {name: here.get(name, kept.get(name, {})) for name in named}


def parts_at(site: Site) -> dict[str, dict[str, str]]:
    """Of every kit at the site."""
    return {kit.name: parts_of(kit) for kit in _kits(site)}


def exchanged_since(sums: TaskSums | None, now: Mapping[str, Parts]) -> tuple[Exchanged, ...]:
    """The kits at hand whose figures were measured at other parts than they have now."""
    if sums is None or not is_of_format(sums.figures):
        return ()
    named = [str(row["kit"]) for row in sums.figures.get("kits", ())]
    return exchanged(named, sums.rests_on.get("kit_parts", {}), now)


def _kits(site: Site, named: Iterable[str] | None = None) -> Iterable[Kit]:
    rows = Kit.objects.filter(item__site=site).select_related("item")
    if named is not None:
        rows = rows.filter(name__in=named)
    return rows.prefetch_related("parts__item__product")
