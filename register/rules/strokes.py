"""A signature drawn on a screen: strokes of points in a box of fixed size, bounded, never a picture."""

from __future__ import annotations

import json
from collections.abc import Sequence

WIDTH, HEIGHT = 1000, 320
"""The box in its own units; a screen of any size is scaled to it."""

MOST_STROKES = 60
MOST_POINTS = 2500
MOST_BYTES = 40_000

Point = tuple[int, int]
Strokes = tuple[tuple[Point, ...], ...]


class NoStrokes(ValueError):
    """What was sent is no drawing; ``code`` is 'too-large' or 'not-a-drawing'."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


def read_strokes(text: str) -> Strokes:
    """Strokes from JSON, [[[x, y], ...], ...]; an empty text is no drawing and gives none.

    Raises NoStrokes for more than the bounds above, for points outside the box, and for anything
    that is not whole numbers.
    """
    if not text.strip():
        return ()
    if len(text) > MOST_BYTES:
        raise NoStrokes("too-large")
    try:
        given = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise NoStrokes("not-a-drawing") from error
    if not isinstance(given, list):
        raise NoStrokes("not-a-drawing")
    strokes = tuple(_stroke(one) for one in given)
    if len(strokes) > MOST_STROKES or sum(map(len, strokes)) > MOST_POINTS:
        raise NoStrokes("too-large")
    return strokes


def _stroke(given: object) -> tuple[Point, ...]:
    if not isinstance(given, list) or not given:
        raise NoStrokes("not-a-drawing")
    return tuple(_point(one) for one in given)


def _point(given: object) -> Point:
    if not isinstance(given, list) or len(given) != 2:  # noqa: PLR2004 - x and y
        raise NoStrokes("not-a-drawing")
    x, y = given
    if type(x) is not int or type(y) is not int or not (0 <= x <= WIDTH and 0 <= y <= HEIGHT):
        raise NoStrokes("not-a-drawing")
    return x, y


def path_of(stroke: Sequence[Sequence[int]]) -> str:
    """One stroke as the path of a drawing; a single point is a dot."""
    (x, y), *rest = stroke
    return f"M{x} {y}" + ("".join(f"L{one[0]} {one[1]}" for one in rest) or "h0")
