"""The labels of the zone below an anchor, and its picture as a list."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _

from readiness.wording.fall_swing import zone_lines
from readiness.wording.lengths import Unit, there_words

Facts = Mapping[str, Any]

ZONE_NOTES: Mapping[str, Callable[[Facts, Unit], str]] = {
    "zone": lambda facts, unit: (
        _("within %(length)s of plumb") % {"length": there_words(facts["metres"], unit)}
    ),
    "work": lambda _facts, _unit: _("work"),
    "outside": lambda _facts, _unit: _("swings too far"),
    "worker": lambda _facts, _unit: _("work as put in"),
    "worker-outside": lambda _facts, _unit: _("work as put in: swings too far"),
}


def zone_scene_lines(facts: Facts, unit: Unit) -> list[str]:
    """From above: the anchor in the middle, then the zone."""
    name = facts["anchor"] or _("The anchor")
    row = facts["zone"].row
    where = (
        _("%(name)s is in the middle of the zone, seen from above.")
        if row is None
        else _("The zone lies along the row of anchors, seen from above.")
    )
    return [where % {"name": name}, *zone_lines(facts["zone"], unit)]
