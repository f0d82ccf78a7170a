"""Between the boxes of a fall and the figures that are kept of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from readiness.forms.chart_rows import row_of, typed_row
from readiness.forms.fall import FallForm
from readiness.forms.fall_boxes import ROWS
from readiness.forms.measures import Measure, from_si
from readiness.rules.sums.given import FORMAT
from readiness.rules.sums.values import Refused

LINE: Final = (
    *("span_m", "total_m", "modulus_n", "tension_n", "sag_m"),
    *("absorber_force_n", "absorber_stroke_m", "users"),
)
PLAIN: Final = (
    *("length_m", "extension_m", "force_n", "max_free_fall_m", "arrest_m", "arrest_below_m"),
    *("max_below_m", "arrest_edge_m", "line_stretch_m", "min_kg", "max_kg", "mass_kg"),
    *("lightest_kg", "anchor_m", "attachment_m", "crouch_m", "sling_m", "anchor_stretch_m"),
    *("setback_m", "offset_m", "harness_m", "margin_m", "anchor_rating_n", "anchor_users"),
)
FLAGS: Final = ("edge_rated", "over_edge", "anchor_textile")
WORK: Final = ("from_m", "to_m", "aside_m")
BOXES: Final = {
    "extension": "extension_m",
    "stroke_m": "extension_m",
    "arrest": "arrest_m",
    "harness": "harness_m",
    "margin": "margin_m",
    "free_fall_m": "length_m",
    "swing_m": "offset_m",
    "anchor-stretch": "anchor_stretch_m",
    "lifeline-sag": "line_span_m",
    "in_line_absorber": "line_absorber_stroke_m",
    "below": "below_depth_0",
    "obstacles": "obstacle_name_0",
    "chart": "chart_rows",
    "lifeline": "lifeline",
    "swing_deg": "offset_m",
    "row": "point_at_0",
}
"""Where a refusal of the rules is told, if not in the box of its own name."""
IN_ROWS: Final = {
    "below": ("below", "depth"),
    "obstacles": ("obstacle", ""),
    "row": ("point", "at"),
}
"""Lists of the figures: the rows of the form they are typed in, and the column ('': of the same name)."""


def figures_of(form: FallForm) -> dict[str, object]:
    """What is kept: only what the chosen system asks for, blank boxes left out.

    Refused: a row of the chart that cannot be read.
    """
    shown, said = form.shown, form.cleaned_data
    figures: dict[str, object] = {
        "format": FORMAT,
        "system": said["system"],
        "where": said["where"],
    }
    for rule in ("rule_lanyard", "rule_retractable"):
        if rule in shown:
            figures["rule"] = said[rule] or form.fields[rule].choices[0][0]  # type: ignore[attr-defined]
    numbers = {name: form.si(name) for name in PLAIN if name in shown}
    figures |= {name: value for name, value in numbers.items() if value is not None}
    figures |= {name: True for name in FLAGS if name in shown and said.get(name)}
    figures |= _lists(form)
    return figures


def _lists(form: FallForm) -> dict[str, object]:
    if form.chosen("system") == "no-absorber":
        return {}
    below = [
        {"name": name, "depth_m": depth}
        for name, depth in _filled(form, "below")
        if depth is not None
    ]
    obstacles = [
        dict(zip(("name", "left_m", "right_m", "bottom_m", "top_m"), row, strict=True))
        for row in _filled(form, "obstacle")
    ]
    found: dict[str, object] = {"below": below}
    if obstacles:
        found["obstacles"] = obstacles
    if form.cleaned_data.get("lifeline") and "lifeline" in form.shown:
        found["lifeline"] = _lifeline(form)
    found |= _row_of_anchors(form)
    chart = _chart(form)
    return found | ({"chart": chart} if chart else {})


def _row_of_anchors(form: FallForm) -> dict[str, object]:
    """Places along a row and the work there; a tick alone says nothing."""
    at = [form.si(f"point_at_{number}") for number in range(form.counts["point"])]
    told: dict[str, object] = {name: form.si(f"row_{name}") for name in WORK}
    work = {name: value for name, value in told.items() if value is not None}
    points = [{"at_m": place} for place in at if place is not None]
    found: dict[str, object] = {"row": points} if points else {}
    if work and form.cleaned_data.get("row_runs"):
        work["runs"] = True
    return found | ({"row_work": work} if work else {})


def _lifeline(form: FallForm) -> dict[str, object]:
    told = {name: form.si(f"line_{name}") for name in LINE}
    return {name: value for name, value in told.items() if value is not None}


def _filled(form: FallForm, kind: str) -> list[list[Any]]:
    """Rows with any figure in them; a name alone says nothing."""
    return [
        [form.cleaned_data.get(f"{kind}_name_{number}") or "", *_row(form, kind, number)]
        for number in _numbers(form, kind)
    ]


def _row(form: FallForm, kind: str, number: int) -> list[float | None]:
    columns = [column for column in ROWS[kind] if column != "name"]
    return [form.si(f"{kind}_{column}_{number}") for column in columns]


def _numbers(form: FallForm, kind: str) -> list[int]:
    """Those of the rows that hold a figure."""
    counted = range(form.counts[kind])
    return [one for one in counted if any(each is not None for each in _row(form, kind, one))]


def _number(form: FallForm, kind: str, place: str) -> int:
    """The row of the form that 'below.1' is about: blank rows are not among the figures."""
    filled = _numbers(form, kind)
    at = place.partition(".")[2]
    return filled[int(at)] if at.isdigit() and int(at) < len(filled) else 0


def _chart(form: FallForm) -> dict[str, object] | None:
    said = form.cleaned_data
    lines = [line.split() for line in said.get("chart_rows", "").splitlines() if line.strip()]
    if not lines:
        return None
    axes = said.get("chart_axes") or []
    return {
        "source": said.get("chart_source", ""),
        "axes": axes,
        "plane": said.get("chart_plane") or "surface",
        "includes": said.get("chart_includes") or [],
        "rows": [row_of(words, axes, form.units) for words in lines],
    }


def box_of(refused: Refused, form: FallForm) -> str | None:
    """The name of the box a refusal belongs to, where it is shown."""
    name = refused.field
    place, _, last = name.rpartition(".")
    kind = place.partition(".")[0]
    if name in BOXES:
        name = BOXES[name]
    elif kind in IN_ROWS:
        row, column = IN_ROWS[kind]
        column = column or last.removesuffix("_m")
        name = f"{row}_{column}_{_number(form, row, place)}"
    elif kind == "row_work":
        name = f"row_{last}"
    elif kind == "chart":
        name = {"source": "chart_source", "axes": "chart_axes"}.get(last, "chart_rows")
    elif f"line_{last}" in form.fields and last in LINE:
        name = f"line_{last}"
    elif name == "rule":
        name = "rule_lanyard" if "rule_lanyard" in form.shown else "rule_retractable"
    return name if name in form.fields else None


def typed(figures: Mapping[str, Any], units: str) -> dict[str, Any]:
    """Kept figures as they would be typed into the boxes."""
    told: dict[str, Any] = {
        "system": figures["system"],
        "where": figures["where"],
        "rule_lanyard": "en-355",
        "rule_retractable": "en-360",
    }
    if rule := figures.get("rule"):
        told["rule_lanyard" if figures["system"] == "lanyard" else "rule_retractable"] = rule
    for name in PLAIN:
        if name in figures:
            told[name] = _shown(name, figures[name], units)
    told |= {name: "on" for name in FLAGS if figures.get(name)}
    for number, row in enumerate(figures.get("below", ())):
        told[f"below_name_{number}"] = row.get("name", "")
        told[f"below_depth_{number}"] = _shown("depth_m", row["depth_m"], units)
    for number, row in enumerate(figures.get("obstacles", ())):
        told[f"obstacle_name_{number}"] = row.get("name", "")
        for side in ROWS["obstacle"][1:]:
            told[f"obstacle_{side}_{number}"] = _shown("m", row[f"{side}_m"], units)
    told |= _typed_row(figures, units)
    return told | _typed_line(figures, units) | _typed_chart(figures, units)


def _typed_row(figures: Mapping[str, Any], units: str) -> dict[str, Any]:
    work = figures.get("row_work", {})
    told = {f"row_{name}": _shown(name, work[name], units) for name in WORK if name in work}
    if work.get("runs"):
        told["row_runs"] = "on"
    for number, point in enumerate(figures.get("row", ())):
        told[f"point_at_{number}"] = _shown("at_m", point["at_m"], units)
    return told


def _typed_line(figures: Mapping[str, Any], units: str) -> dict[str, Any]:
    line = figures.get("lifeline")
    if line is None:
        return {}
    told = {f"line_{name}": _shown(name, line[name], units) for name in LINE if name in line}
    return told | {"lifeline": "on"}


def _typed_chart(figures: Mapping[str, Any], units: str) -> dict[str, Any]:
    chart = figures.get("chart")
    if chart is None:
        return {}
    rows = [typed_row(row["at"], row["required_m"], chart["axes"], units) for row in chart["rows"]]
    return {
        "chart_source": chart["source"],
        "chart_axes": chart["axes"],
        "chart_plane": chart["plane"],
        "chart_includes": chart["includes"],
        "chart_rows": "\n".join(rows),
    }


def _shown(name: str, value: float, units: str) -> str:
    field = FallForm.base_fields.get(name) or FallForm.base_fields.get(f"line_{name}")
    kind = field.kind if isinstance(field, Measure) else "length"
    return from_si(kind, value, units)
