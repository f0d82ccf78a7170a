"""Boxes for lengths, masses and forces, in the units of the page; SI inside."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from django import forms

from readiness.rules.sums.units import feet, kilograms, metres, newtons, pounds, pounds_force
from register.forms.figures import FigureField

DIGITS: Final = 4  # far below the step that a sum is rounded to

SHOWN: Final = {
    ("length", "m"): "m",
    ("length", "ft"): "ft",
    ("mass", "m"): "kg",
    ("mass", "ft"): "lb",
    ("force", "m"): "kN",
    ("force", "ft"): "lbf",
}


def unit_words(kind: str, units: str) -> str:
    """What stands beside the box; '' where the figure has no unit."""
    return SHOWN.get((kind, units), "")


def to_si(kind: str, value: float, units: str) -> float:
    """Metres, kilograms, newtons, from what stands in a box; to a tenth of a millimetre or of a gram,
    so that 2 m told in feet are 2 m again."""
    if units == "ft" and kind in _IN_SI:
        return round(_IN_SI[kind](value), DIGITS)
    return value * 1000 if kind == "force" else value


_IN_SI: Final[dict[str, Callable[[float], float]]] = {
    "length": metres,
    "mass": kilograms,
    "force": newtons,
}


def from_si(kind: str, value: float, units: str) -> str:
    """As it would be typed into a box: no more digits than say something."""
    shown = value
    if kind == "length" and units == "ft":
        shown = feet(value)
    if kind == "mass" and units == "ft":
        shown = pounds(value)
    if kind == "force":
        shown = pounds_force(value) if units == "ft" else value / 1000
    return f"{shown:.{DIGITS}f}".rstrip("0").rstrip(".")


class Measure(FigureField):
    """A figure of a `kind`: length, mass, force, or a plain number."""

    def __init__(self, kind: str = "length", **kwargs: Any) -> None:
        self.kind = kind
        box = forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"})
        super().__init__(**{"required": False, "widget": box, **kwargs})
