"""Between the boxes of restraint and the figures that are kept of it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any, Final

from django.http import HttpRequest, QueryDict

from readiness.forms.fall_boxes import anchor_label
from readiness.forms.measures import from_si
from readiness.forms.restraint import COLUMNS, RestraintForm, with_rectangle
from readiness.forms.sums_form import as_data, asked_units, counted, other_units
from readiness.forms.tasks import anchors_of
from readiness.models import Task, TaskSums
from readiness.rules.sums.given import FORMAT, is_of_format
from readiness.rules.sums.values import Refused
from readiness.wording.lengths import Unit
from register.models import Product

LANYARDS: Final = ("lanyard", "positioning-lanyard", "energy-absorbing-lanyard", "rope-adjuster")
PLAIN: Final = ("deflection_m", "lanyard_m", "body_m")
MORE: Final = 4
XY: Final = ("x", "y")


def asked_restraint(request: HttpRequest, task: Task, sums: TaskSums | None) -> RestraintForm:
    """Bound wherever there are figures, so that the answer stands there at once."""
    units = asked_units(request)
    if request.method == "POST":
        return _posted(request, task, units)
    if sums is None or not is_of_format(sums.figures):
        return _form(task, None, units, initial=_of_task(task, units))
    told = typed(sums.figures, units)
    told |= {"product": sums.product_id or "", "anchor": sums.anchor_id or ""}
    return _form(task, as_data(told), units)


def _posted(request: HttpRequest, task: Task, units: Unit) -> RestraintForm:
    """A button may ask for other units, for a rectangle, or for more rows."""
    data: QueryDict = request.POST
    if (kind := data.get("draw")) in {"corner", "area"}:
        data = with_rectangle(data, str(kind))
    form = _form(task, data, units)
    other = other_units(request)
    if other is not None and other != units:
        form.full_clean()
        form = _form(task, as_data(form.in_units(other)), other)
    return form


def _form(
    task: Task, data: QueryDict | None, units: Unit, initial: Mapping[str, Any] | None = None
) -> RestraintForm:
    told: Mapping[str, Any] = data if data is not None else initial or {}
    more = told.get("more")
    counts = {kind: counted(told, kind) + (MORE if more == kind else 0) for kind in COLUMNS}
    return RestraintForm(
        data,
        initial=initial,
        units=units,
        counts=counts,
        products=Product.objects.filter(equipment_class__in=LANYARDS),
        anchors=anchors_of(task.site),
    )


def _of_task(task: Task, units: Unit) -> dict[str, Any]:
    """What the task says already, where nothing was kept."""
    told: dict[str, Any] = {"anchorage": "anchor", "closed": True}
    if task.restraint_reach_m is not None:
        told["lanyard_m"] = from_si("length", task.restraint_reach_m, units)
    return told


def figures_of(form: RestraintForm) -> dict[str, object]:
    """What is kept: blank boxes are left out, and rows without any figure."""
    said = form.cleaned_data
    figures: dict[str, object] = {
        "format": FORMAT,
        "anchorage": said["anchorage"],
        "name": _name(form),
        "points": [_point(form, "point", row) for row in form.rows_with("point", XY)],
        "corners": [_corner(form, row) for row in form.rows_with("corner", XY)],
        "areas": _areas(form),
        "closed": bool(said["closed"]),
    }
    wanted = PLAIN if said["anchorage"] == "line" else PLAIN[1:]
    numbers = {name: form.si(name) for name in wanted}
    return figures | {name: value for name, value in numbers.items() if value is not None}


def _name(form: RestraintForm) -> str:
    anchor = form.cleaned_data.get("anchor")
    choices = dict(form.fields["anchorage"].choices)  # type: ignore[attr-defined]
    return anchor_label(anchor) if anchor else str(choices[form.cleaned_data["anchorage"]])


def _point(form: RestraintForm, kind: str, row: int) -> dict[str, object]:
    values = {f"{axis}_m": form.si(form.cell(kind, axis, row)) for axis in XY}
    return {name: value for name, value in values.items() if value is not None}


def _corner(form: RestraintForm, row: int) -> dict[str, object]:
    told = _point(form, "corner", row) | {"name": form.cleaned_data[f"corner_name_{row}"]}
    return told | ({"guarded": True} if form.cleaned_data[f"corner_guarded_{row}"] else {})


def _area_rows(form: RestraintForm) -> list[list[int]]:
    """A name begins an area; the rows without one go on with it."""
    found: list[list[int]] = []
    for row in form.rows_with("area", COLUMNS["area"]):
        if form.said(f"area_name_{row}") or not found:
            found.append([])
        found[-1].append(row)
    return found


def _areas(form: RestraintForm) -> list[dict[str, object]]:
    return [
        {
            "name": form.cleaned_data[f"area_name_{rows[0]}"],
            "corners": [_point(form, "area", row) for row in rows],
        }
        for rows in _area_rows(form)
    ]


def box_of(refused: Refused, form: RestraintForm) -> str | None:
    """The name of the box a refusal belongs to."""
    kind, *places = refused.field.split(".")
    if kind == "layout":
        return "corner_x_0"
    if kind not in {"points", "corners", "areas"}:
        return refused.field
    column = places[-1].removesuffix("_m") if places and not places[-1].isdigit() else "x"
    at = [int(place) for place in places if place.isdigit()]
    return _cell_of(form, kind, at, column if column in {"x", "y", "name"} else "x")


def _cell_of(form: RestraintForm, kind: str, at: list[int], column: str) -> str:
    """Blank rows are not among the figures: count only the others."""
    if kind == "areas":
        rows = _area_rows(form)[at[0]] if at else [0]
        return f"area_{column}_{rows[at[1] if len(at) > 1 else 0]}"
    one = kind.removesuffix("s")
    held = form.rows_with(one, XY)
    return f"{one}_{column}_{held[at[0]] if at else 0}"


def typed(figures: Mapping[str, Any], units: Unit) -> dict[str, Any]:
    """Kept figures as they would be typed into the boxes."""
    shown = partial(from_si, "length", units=units)
    told: dict[str, Any] = {"anchorage": figures["anchorage"]}
    told |= {name: shown(figures[name]) for name in PLAIN if name in figures}
    if figures.get("closed"):
        told["closed"] = "on"
    for number, point in enumerate(figures.get("points", ())):
        told |= _typed_point("point", number, point, units)
    for number, corner in enumerate(figures.get("corners", ())):
        told |= _typed_point("corner", number, corner, units)
    number = 0
    for area in figures.get("areas", ()):
        told[f"area_name_{number}"] = area["name"]
        for point in area["corners"]:
            told |= _typed_point("area", number, point, units)
            number += 1
    return told


def _typed_point(
    kind: str, number: int, point: Mapping[str, Any], units: Unit
) -> dict[str, object]:
    told: dict[str, object] = {
        f"{kind}_{axis}_{number}": from_si("length", point[f"{axis}_m"], units)
        for axis in XY
        if f"{axis}_m" in point
    }
    if point.get("name"):
        told[f"{kind}_name_{number}"] = point["name"]
    return told | ({f"{kind}_guarded_{number}": "on"} if point.get("guarded") else {})
