"""What is put into the sums of a rescue: only what the register does not know."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any, Final

from django import forms
from django.forms.boundfield import BoundField
from django.http import HttpRequest, QueryDict
from django.utils.translation import gettext_lazy

from readiness.forms.fall import Box
from readiness.forms.measures import Measure, from_si
from readiness.forms.sums_form import SumsForm, as_data, asked_units, other_units
from readiness.models import TaskSums
from readiness.rules.sums.given import FORMAT, is_of_format
from readiness.rules.sums.rescue_figures import CLASSES
from readiness.rules.sums.values import Refused
from readiness.wording.lengths import Unit

GROUPS: Final = {
    "place": ("anchor_m", "casualty_m", "landing", "to_device_m", "tail_m", "to_casualty_m"),
    "time": ("rig_minutes", "lift_m", "rope_m_s", "lower_m_s"),
}
PLAIN: Final = (
    *("anchor_m", "casualty_m", "to_device_m", "tail_m", "to_casualty_m"),
    *("lift_m", "rope_m_s", "lower_m_s"),
)
KIT_BOXES: Final = {
    "rope": "rope_m",
    "doubled": "doubled",
    "stopper": "stopper",
    "ratio": "ratio",
    "efficiency": "efficiency",
    "class": "en341_class",
    "used": "used",
    "pole": "pole_m",
}


@dataclass(frozen=True, slots=True)
class KitBoxes:
    name: str
    boxes: list[Box]

    @property
    def says(self) -> bool:
        """Whether something stands in a box, or is wrong with it."""
        return any(box.field.value() or box.field.errors for box in self.boxes)


class RescueForm(SumsForm):
    """`kits` gives the row of each kit by name; a kit's boxes are called 'kit_column_row'."""

    anchor_m = Measure(
        label=gettext_lazy("Rescue anchor above the walking surface"),
        help_text=gettext_lazy("For the picture; blank: 2 m."),
    )
    casualty_m = Measure(
        label=gettext_lazy("The casualty’s feet, above the walking surface"),
        help_text=gettext_lazy("Negative below it; for the picture."),
    )
    landing = forms.CharField(required=False, max_length=60, label=gettext_lazy("Place of safety"))
    to_device_m = Measure(
        label=gettext_lazy("From the anchor to the device"), help_text=gettext_lazy("Blank: 0 m.")
    )
    tail_m = Measure(
        label=gettext_lazy("Rope left over at the end"), help_text=gettext_lazy("Blank: 2 m.")
    )
    to_casualty_m = Measure(
        label=gettext_lazy("From who holds the pole to the casualty’s attachment"),
        help_text=gettext_lazy("Only where nobody can reach them by hand."),
    )
    rig_minutes = Measure(
        "",
        label=gettext_lazy("Rigging the kit, minutes, estimated"),
        help_text=gettext_lazy("A drill goes before it."),
    )
    lift_m = Measure(
        label=gettext_lazy("Lift to take them off the line"),
        help_text=gettext_lazy("Blank: 0.3 m, an assumption."),
    )
    rope_m_s = Measure(
        label=gettext_lazy("Rope pulled in, a second"),
        help_text=gettext_lazy("Blank: 0.3 m a second."),
    )
    lower_m_s = Measure(
        label=gettext_lazy("Lowered, a second"), help_text=gettext_lazy("Blank: 0.5 m a second.")
    )

    def __init__(self, *args: Any, kits: Mapping[str, int], **kwargs: Any) -> None:
        super().__init__(*args, counts={}, **kwargs)
        self.kits = kits
        for row in kits.values():
            for column, field in _kit_fields().items():
                self.fields[self.cell("kit", column, row)] = field

    def groups(self) -> dict[str, list[Box]]:
        return {slug: [self.box(name) for name in names] for slug, names in GROUPS.items()}

    def kit_boxes(self) -> list[KitBoxes]:
        return [
            KitBoxes(name, [self.box(self.cell("kit", column, row)) for column in KIT_BOXES])
            for name, row in self.kits.items()
        ]

    def plain(self) -> list[BoundField]:
        return self.boxes()


def _kit_fields() -> dict[str, forms.Field]:
    return {
        "rope": Measure(label=gettext_lazy("Its rope, measured as it is today")),
        "doubled": forms.BooleanField(
            required=False, label=gettext_lazy("Rope used doubled, pulled down after")
        ),
        "stopper": forms.BooleanField(required=False, label=gettext_lazy("Stopper at its end")),
        "ratio": Measure("", label=gettext_lazy("Ratio of its haul, as 4 for 4:1")),
        "efficiency": Measure(
            "",
            label=gettext_lazy("Each pulley passes on"),
            help_text=gettext_lazy(
                "Blank: 0.75, the low end of rescue pulleys; over a connector 0.5 or less."
            ),
        ),
        "class": forms.ChoiceField(
            required=False,
            label=gettext_lazy("Class on its descender (EN 341)"),
            choices=[("", gettext_lazy("Not read")), *((one, one) for one in CLASSES)],
        ),
        "used": Measure("", label=gettext_lazy("Descents it has made")),
        "pole": Measure(label=gettext_lazy("Its pole")),
    }


def asked_rescue(
    request: HttpRequest,
    sums: TaskSums | None,
    kits: Mapping[str, int],
    without: Collection[str] = (),
) -> RescueForm:
    """Always bound: what the register knows gives an answer by itself. Figures of kits `without` are not
    put in again: they were measured at other parts."""
    units = asked_units(request)
    if request.method != "POST":
        counted = {name: row for name, row in kits.items() if name not in without}
        told = typed(sums.figures, units, counted) if sums and is_of_format(sums.figures) else {}
        return _form(as_data(told), units, kits)
    form = _form(request.POST, units, kits)
    other = other_units(request)
    if other is not None and other != units:
        form.full_clean()
        form = _form(as_data(form.in_units(other)), other, kits)
    return form


def _form(data: QueryDict, units: Unit, kits: Mapping[str, int]) -> RescueForm:
    return RescueForm(data, units=units, kits=kits)


def figures_of(form: RescueForm, before: Mapping[str, Any] | None) -> dict[str, object]:
    """What is kept: blank boxes are left out. A kit that is not here now keeps what was kept of it."""
    figures: dict[str, object] = {"format": FORMAT}
    numbers = {name: form.si(name) for name in PLAIN}
    figures |= {name: value for name, value in numbers.items() if value is not None}
    if (minutes := form.cleaned_data.get("rig_minutes")) is not None:
        figures["rig_s"] = 60 * minutes
    if landing := form.cleaned_data.get("landing"):
        figures["landing"] = landing
    rows = [row for name in form.kits if len(row := _kit(form, name)) > 1]
    kept = before.get("kits", ()) if before and is_of_format(before) else ()
    away = [row for row in kept if row["kit"] not in form.kits]
    return figures | {"kits": [*rows, *away]}


def _kit(form: RescueForm, name: str) -> dict[str, object]:
    told: dict[str, object] = {"kit": name}
    for column, figure in KIT_BOXES.items():
        box = form.cell("kit", column, form.kits[name])
        if form.said(box):
            measured = form.si(box)
            told[figure] = form.cleaned_data[box] if measured is None else measured
    return told


def box_of(refused: Refused, form: RescueForm) -> str | None:
    """The name of the box a refusal belongs to."""
    place, _dot, last = refused.field.rpartition(".")
    if not place.startswith("kits."):
        return "rig_minutes" if last == "rig_s" else last
    rows = [name for name in form.kits if len(_kit(form, name)) > 1]
    number = int(place.removeprefix("kits."))
    column = next((one for one, figure in KIT_BOXES.items() if figure == last), "rope")
    return form.cell("kit", column, form.kits[rows[number]]) if number < len(rows) else None


def typed(figures: Mapping[str, Any], units: Unit, kits: Mapping[str, int]) -> dict[str, Any]:
    """Kept figures as they would be typed into the boxes."""
    told: dict[str, Any] = {
        name: from_si("length", figures[name], units) for name in PLAIN if name in figures
    }
    if "rig_s" in figures:
        told["rig_minutes"] = from_si("", figures["rig_s"] / 60, units)
    if "landing" in figures:
        told["landing"] = figures["landing"]
    for row in figures.get("kits", ()):
        if row["kit"] in kits:
            told |= _typed_kit(row, kits[row["kit"]], units)
    return told


def _typed_kit(row: Mapping[str, Any], number: int, units: Unit) -> dict[str, Any]:
    told: dict[str, Any] = {}
    for column, figure in KIT_BOXES.items():
        value = row.get(figure)
        if value is None or value is False:
            continue
        if value is True:
            value = "on"
        elif not isinstance(value, str):
            value = from_si("length" if figure.endswith("_m") else "", value, units)
        told[f"kit_{column}_{number}"] = value
    return told
