"""The sign of the house beside a verdict on paper: the line, as strokes."""

from __future__ import annotations

from readiness.rules.line import strands
from register.documents.content import Sketch, Stroke

WIDTH, HEIGHT = 84, 24
_LIGHT = {"casing"}


def line_sign(state: str, words: str) -> Sketch:
    """One day long; ``words`` say what it shows."""
    drawing = strands([state], WIDTH, HEIGHT)
    strokes = tuple(
        Stroke(one.path, one.thickness, light=one.kind in _LIGHT) for one in drawing.segments
    )
    return Sketch(WIDTH, HEIGHT, strokes, words)
