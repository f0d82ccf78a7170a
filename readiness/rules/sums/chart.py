"""A product's own table of required clearance: read on the worse side between rows, refused outside."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product

from readiness.rules.sums.values import Basis, Part, Plane, Refused, within


@dataclass(frozen=True, slots=True)
class ChartRow:
    """`at`: one value for each axis of the chart, in its order."""

    at: tuple[float, ...]
    required_m: float


@dataclass(frozen=True, slots=True)
class Chart:
    """Axes are 'anchor_m', 'mass_kg', 'free_fall_m', 'setback_m'; `plane` is below what it measures.

    `includes`: the codes of those parts of the place that its figures hold already ('margin',
    'harness' ...); whatever is not named there is added. `source`: the text it was read from.
    """

    source: str
    axes: tuple[str, ...]
    rows: tuple[ChartRow, ...]
    plane: Plane = Plane.SURFACE
    includes: frozenset[str] = frozenset()


def chart_part(chart: Chart, at: Mapping[str, float | None]) -> Part:
    """The largest figure of the cells around `at`: never interpolated, never a corner left out."""
    sides = [_around(chart, place, at.get(axis)) for place, axis in enumerate(chart.axes)]
    cells = {row.at: row.required_m for row in chart.rows}
    corners = [cells.get(corner) for corner in product(*sides)]
    found = [each for each in corners if each is not None]
    if not found or len(found) < len(corners):
        raise Refused("chart", "chart-has-no-figure", source=chart.source)
    worst = max(within("chart", each, 0, 100) for each in found)
    return Part("chart", worst, Basis("given", chart.source))


def _around(chart: Chart, place: int, value: float | None) -> tuple[float, ...]:
    """The row's own value where it stands in the chart, else its neighbours on both sides."""
    steps = sorted({row.at[place] for row in chart.rows})
    axis = chart.axes[place]
    if not steps:
        raise Refused("chart", "chart-has-no-figure", source=chart.source)
    try:
        at = within(axis, value, steps[0], steps[-1])
    except Refused as refused:
        code = "outside-chart" if refused.code == "out-of-range" else refused.code
        raise Refused(axis, code, steps[0], steps[-1], source=chart.source) from refused
    if at in steps:
        return (at,)
    return (max(step for step in steps if step < at), min(step for step in steps if step > at))
