"""Parts of the form of a fall: rows, groups, and what a script does at another choice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from django.forms.boundfield import BoundField
from django.utils.translation import gettext_lazy

from readiness.forms.measures import Measure, unit_words

ROWS: Final = {
    "below": ("name", "depth"),
    "obstacle": ("name", "left", "right", "bottom", "top"),
    "point": ("at",),
}
ROW_STARTS: Final = tuple(f"{kind}_" for kind in ROWS)
ROW_BOXES: Final = ("row_runs", "row_from_m", "row_to_m", "row_aside_m")
FEWEST_ROWS: Final = 2
MOST_ROWS: Final = 12


WHOLE_ANEW: Final = {
    "hx-post": "",
    "hx-trigger": "change",
    "hx-target": "#fall-work",
    "hx-select": "#fall-work",
    "hx-swap": "outerHTML",
    "hx-sync": "closest form:replace",
}
"""Another choice asks for other boxes: a script fetches the form anew, with all that was typed."""


@dataclass(frozen=True, slots=True)
class Box:
    """A field, and the unit that stands beside it."""

    field: BoundField
    unit: str


@dataclass(frozen=True, slots=True)
class Group:
    """Boxes under one heading; `is_shut` until something stands in one of them."""

    slug: str
    heading: str
    boxes: list[Box]
    is_shut: bool = False


ALWAYS_CHOSEN: Final = ("where", "chart_plane")
LISTS: Final = ("chart_axes", "chart_includes")
ROW_LABELS: Final = {
    ("below", "name"): gettext_lazy("What is below"),
    ("below", "depth"): gettext_lazy("Below the walking surface by"),
    ("obstacle", "name"): gettext_lazy("What stands there"),
    ("obstacle", "left"): gettext_lazy("From, aside of the anchor"),
    ("obstacle", "right"): gettext_lazy("To"),
    ("obstacle", "bottom"): gettext_lazy("Underside above the walking surface"),
    ("obstacle", "top"): gettext_lazy("Top"),
    ("point", "at"): gettext_lazy("Anchor along the row, at"),
}


def anchor_label(item: Any) -> str:
    return f"{item.place or item.product.kind.name} – {item.shown_code}"


def listed(data: Any, name: str) -> list[str]:
    """All values of one name."""
    found: list[str] = data.getlist(name)
    return found


def unit_of(field: BoundField, units: str) -> str:
    """What stands beside the box of this field."""
    return unit_words(field.field.kind, units) if isinstance(field.field, Measure) else ""
