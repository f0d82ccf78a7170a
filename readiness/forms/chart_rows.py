"""The rows of a product's chart as they stand in one box: a line a row, its figures apart by spaces."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from readiness.forms.measures import from_si, to_si
from readiness.rules.sums.values import Refused

AXIS_KINDS: Final = {"mass_kg": "mass"}  # every other axis is a length


def row_of(words: Sequence[str], axes: Sequence[str], units: str) -> dict[str, Any]:
    """In SI units. Refused: no figure, or not one for each axis and the clearance."""
    try:
        figures = [float(word.rstrip(";,")) for word in words]
    except ValueError:
        raise Refused("chart.rows", "not-a-number") from None
    if len(figures) != len(axes) + 1:
        raise Refused("chart.rows", "not-known")
    kinds = [AXIS_KINDS.get(axis, "length") for axis in axes]
    at = [to_si(kind, value, units) for kind, value in zip(kinds, figures, strict=False)]
    return {"at": at, "required_m": to_si("length", figures[-1], units)}


def typed_row(at: Sequence[float], required_m: float, axes: Sequence[str], units: str) -> str:
    """As it would be typed."""
    told = [
        from_si(AXIS_KINDS.get(axis, "length"), value, units)
        for axis, value in zip(axes, at, strict=True)
    ]
    return " ".join([*told, from_si("length", required_m, units)])


def in_other_units(text: str, axes: Sequence[str], was: str, units: str) -> str:
    """Each line told in other units; one that cannot be read becomes no figure at all, so that nothing
    is read in units it was not typed in."""
    return "\n".join(_line(line, axes, was, units) for line in text.splitlines() if line.strip())


def _line(line: str, axes: Sequence[str], was: str, units: str) -> str:
    if was == units:
        return line
    try:
        row = row_of(line.split(), axes, was)
    except Refused:
        return line if line.rstrip().endswith(f"({was})") else f"{line} ({was})"
    return typed_row(row["at"], row["required_m"], axes, units)
