"""The form of a fall as a request asks for it: kept figures, prefilled ones, or what was typed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from django.http import HttpRequest, QueryDict

from readiness.forms.fall import FallForm
from readiness.forms.fall_boxes import ROW_STARTS, ROWS
from readiness.forms.fall_figures import box_of, figures_of, typed
from readiness.forms.measures import from_si
from readiness.forms.sums_form import as_data, asked_units, counted, other_units
from readiness.forms.tasks import anchors_of
from readiness.models import Task, TaskSums
from readiness.rules.sums.given import is_of_format
from readiness.rules.sums.values import Refused
from readiness.wording.lengths import Unit
from readiness.wording.sums import refusal_sentence
from register.models import Product

CLASSES: Final = {
    "energy-absorbing-lanyard": "lanyard",
    "retractable": "retractable",
    "guided-arrester": "guided-flexible",
}
"""The classes of what catches a fall, and the system each is."""


def asked_form(request: HttpRequest, task: Task, sums: TaskSums | None) -> FallForm:
    """Bound wherever there are figures, so that the answer stands there at once."""
    if request.method == "POST":
        return _posted(request, task)
    units = asked_units(request)
    if sums is None or not is_of_format(sums.figures):
        return _form(task, None, units, initial=_of_task(task, units))
    told = typed(sums.figures, units)
    told |= {"product": sums.product_id or "", "anchor": sums.anchor_id or ""}
    return _form(task, as_data(told), units)


def _posted(request: HttpRequest, task: Task) -> FallForm:
    """A button may ask for other units, for a product's own figures, or for one more row."""
    form = _form(task, request.POST, asked_units(request))
    other = other_units(request)
    if other is not None and other != form.units:
        form.full_clean()
        form = _form(task, as_data(form.in_units(other)), other)
    if "fill" in request.POST:
        form = _filled(form, task)
    return form


def _form(
    task: Task, data: QueryDict | None, units: Unit, initial: Mapping[str, Any] | None = None
) -> FallForm:
    told: Mapping[str, Any] = data if data is not None else initial or {}
    return FallForm(
        data,
        initial=initial,
        units=units,
        counts={kind: counted(told, kind) + (told.get("more") == kind) for kind in ROWS},
        products=Product.objects.filter(equipment_class__in=CLASSES),
        anchors=anchors_of(task.site),
    )


def _of_task(task: Task, units: str) -> dict[str, Any]:
    """What the task says already, where nothing was kept."""
    told: dict[str, Any] = {"system": "lanyard", "where": "us" if units == "ft" else "en"}
    if task.heaviest_kg:
        told["mass_kg"] = from_si("mass", task.heaviest_kg, units)
    if task.lightest_kg:
        told["lightest_kg"] = from_si("mass", task.lightest_kg, units)
    if task.clearance_available_m is not None:
        told["below_depth_0"] = from_si("length", task.clearance_available_m, units)
    return told


def _filled(form: FallForm, task: Task) -> FallForm:
    """With what the register says of the product chosen."""
    product = Product.objects.filter(
        equipment_class__in=CLASSES, pk=form.data.get("product") or 0
    ).first()
    if product is None:
        return form
    data: Any = form.data.copy()  # type: ignore[attr-defined]
    data["system"] = _system_of(product, str(data.get("system", "")))
    for name, kind, value in (
        ("length_m", "length", product.length_m),
        ("min_kg", "mass", product.min_user_kg),
        ("max_kg", "mass", product.max_user_kg),
    ):
        if value is not None:
            data[name] = from_si(kind, float(value), form.units)
    data.pop("edge_rated", None)
    if product.edge_tested:
        data["edge_rated"] = "on"
    return _form(task, data, form.units)


def _system_of(product: Product, chosen: str) -> str:
    system = CLASSES[product.equipment_class]
    return chosen if chosen.startswith(system.partition("-")[0]) else system


def figures_and_refusal(form: FallForm) -> dict[str, object] | None:
    """The figures typed, or None where boxes are missing or wrong: the form says which."""
    if not form.is_bound or not form.is_valid():
        return None
    try:
        return figures_of(form)
    except Refused as refused:
        refuse(form, refused)
        return None


def refuse(form: FallForm, refused: Refused) -> None:
    """Beside the box it is about, in the units of the page; over the form where no box is."""
    box = box_of(refused, form)
    shown = box if box in form.shown or (box or "").startswith(ROW_STARTS) else None
    form.add_error(shown, refusal_sentence(refused, in_feet=form.units == "ft"))
