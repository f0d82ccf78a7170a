"""What is put into the sums of restraint: what the lanyard is tied to, and what lies around it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Final

from django import forms
from django.db.models import QuerySet
from django.forms.boundfield import BoundField
from django.http import QueryDict
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy

from readiness.forms.fall_boxes import Box, anchor_label
from readiness.forms.measures import Measure, unit_words
from readiness.forms.sums_form import SumsForm
from register.models import Item, Product

COLUMNS: Final = {
    "point": ("x", "y"),
    "corner": ("x", "y", "name", "guarded"),
    "area": ("x", "y", "name"),
}
GROUPS: Final = {
    "tied": ("anchorage", "anchor", "deflection_m"),
    "lanyard": ("product", "lanyard_m", "body_m"),
    "rim": ("closed",),
}
ANCHORAGES: Final = [
    ("anchor", gettext_lazy("One anchor")),
    ("rail", gettext_lazy("Rail or rigid line")),
    ("line", gettext_lazy("Flexible line")),
]


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a table of points."""

    number: int
    boxes: tuple[BoundField, ...]

    @property
    def slug(self) -> str:
        return self.boxes[0].name

    @property
    def errors(self) -> list[str]:
        return [str(error) for box in self.boxes for error in box.errors]


class RestraintForm(SumsForm):
    """Points from any origin, x along and y across. Sides run from corner to corner."""

    LEAST: ClassVar[Mapping[str, int]] = {"point": 2, "corner": 4, "area": 4}

    anchorage = forms.ChoiceField(
        label=gettext_lazy("What the lanyard is tied to"), choices=ANCHORAGES
    )
    anchor = forms.ModelChoiceField(
        Item.objects.none(),
        required=False,
        label=gettext_lazy("Anchor"),
        empty_label=gettext_lazy("Not named"),
    )
    deflection_m = Measure(
        label=gettext_lazy("A flexible line gives sideways by"),
        help_text=gettext_lazy("At the middle of its longest span, with its stretch and slack."),
    )
    product = forms.ModelChoiceField(
        Product.objects.none(),
        required=False,
        label=gettext_lazy("Lanyard"),
        empty_label=gettext_lazy("Not named"),
    )
    lanyard_m = Measure(
        required=True,
        label=gettext_lazy("Lanyard at the longest it can be set"),
        help_text=gettext_lazy("With its connectors."),
    )
    body_m = Measure(
        label=gettext_lazy("Arms and a leaning body reach further by"),
        help_text=gettext_lazy("Blank: left to the employer’s allowance."),
    )
    closed = forms.BooleanField(
        required=False,
        label=gettext_lazy("The last corner is joined to the first: the rim is drawn all round"),
    )

    def __init__(
        self, *args: Any, products: QuerySet[Product], anchors: QuerySet[Item], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["product"].queryset = products  # type: ignore[attr-defined]
        self.fields["anchor"].queryset = anchors  # type: ignore[attr-defined]
        self.fields["anchor"].label_from_instance = anchor_label  # type: ignore[attr-defined]

    def row_fields(self, kind: str, number: int) -> dict[str, forms.Field]:
        unit = unit_words("length", self.units)
        told = {"number": number + 1, "unit": unit}
        what = _ROWS[kind] % told
        made: dict[str, forms.Field] = {
            "x": Measure(label=f"{what}, {_now('x in %(unit)s') % told}"),
            "y": Measure(label=f"{what}, {_now('y in %(unit)s') % told}"),
            "name": forms.CharField(
                required=False, max_length=60, label=f"{what}, {_NAMED.get(kind, '')}"
            ),
            "guarded": forms.BooleanField(
                required=False, label=f"{what}, {_now('its side is guarded')}"
            ),
        }
        return {column: made[column] for column in COLUMNS[kind]}

    def rows_of(self, kind: str) -> list[Row]:
        return [
            Row(
                number + 1, tuple(self[self.cell(kind, column, number)] for column in COLUMNS[kind])
            )
            for number in range(self.counts[kind])
        ]

    def tables(self) -> dict[str, list[Row]]:
        return {kind: self.rows_of(kind) for kind in COLUMNS}

    def groups(self) -> dict[str, list[Box]]:
        """The boxes beside the tables, by what they are about."""
        return {slug: [self.box(name) for name in names] for slug, names in GROUPS.items()}

    def plain(self) -> list[BoundField]:
        return [self[name] for name in self.base_fields]

    def length_unit(self) -> str:
        return unit_words("length", self.units)


_ROWS: Final = {
    "point": gettext_lazy("Point %(number)d"),
    "corner": gettext_lazy("Corner %(number)d"),
    "area": gettext_lazy("Area, point %(number)d"),
}
_NAMED: Final = {
    "corner": gettext_lazy("name of the side to the next"),
    "area": gettext_lazy("name"),
}


def with_rectangle(data: QueryDict, kind: str) -> QueryDict:
    """The points of a rectangle, in the units of the page: the rim anew, an area one more.

    `rect_*` hold a name, where its first corner lies, and how far it goes along and across; what is
    no figure draws nothing.
    """
    sides = [data.get(f"rect_{kind}_{name}") or "0" for name in ("x", "y", "wide", "deep")]
    try:
        x, y, wide, deep = (float(side) for side in sides)
    except ValueError:
        return data
    told = data.copy()
    first = 0 if kind == "corner" else _free_row(data)
    if kind == "corner":
        for name in [name for name in told if name.startswith("corner_")]:
            del told[name]
        told["closed"] = "on"
    corners = ((x, y), (x + wide, y), (x + wide, y + deep), (x, y + deep))
    for number, (along, across) in enumerate(corners, first):
        told[f"{kind}_x_{number}"], told[f"{kind}_y_{number}"] = f"{along:g}", f"{across:g}"
    if kind == "area":
        told[f"area_name_{first}"] = data.get("rect_area_name") or _now("roof light")
    return told


def _free_row(data: QueryDict) -> int:
    """After the last row of an area that holds anything."""
    held = [
        int(name.rpartition("_")[2])
        for name, value in data.items()
        if name.startswith("area_") and value and name.rpartition("_")[2].isdigit()
    ]
    return max(held, default=-1) + 1
