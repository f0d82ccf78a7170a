"""Strokes as a drawing for a PDF: the few commands of an SVG path that the house's signs are made of."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from register.documents.content import Sketch

_COMMAND = re.compile(r"([MLHVChv])([^MLHVChv]*)")
_NUMBER = re.compile(r"-?\d*\.?\d+(?:e-?\d+)?")


def sketched(sketch: Sketch, width: float) -> Any:
    """So many points wide, upright as it is on a page."""
    from reportlab.graphics.shapes import Drawing, Group

    share = width / sketch.width
    height = sketch.height * share
    group = Group(*(_stroke(stroke) for stroke in sketch.strokes))
    group.transform = (share, 0, 0, -share, 0, height)
    drawing = Drawing(width, height)
    drawing.add(group)
    return drawing


def _stroke(stroke: Any) -> Any:
    from reportlab.graphics.shapes import Path
    from reportlab.lib.colors import black, white

    path = Path(
        strokeColor=white if stroke.light else black,
        strokeWidth=stroke.thickness,
        fillColor=None,
        strokeLineCap=1,
        strokeLineJoin=1,
    )
    x = y = 0.0
    for command, numbers in commands(stroke.path):
        x, y = _drawn(path, command, numbers, (x, y))
    return path


def commands(path: str) -> Iterator[tuple[str, list[float]]]:
    """Each command with its numbers; ValueError for what is not one of those few."""
    if left := _COMMAND.sub("", path).strip():
        raise ValueError(f"no such command in a path of ours: {left[:20]!r}")
    for command, numbers in _COMMAND.findall(path):
        yield command, [float(one) for one in _NUMBER.findall(numbers)]


def _drawn(
    path: Any, command: str, numbers: list[float], at: tuple[float, float]
) -> tuple[float, float]:
    """Add the command to the path; where the pen is then."""
    x, y = at
    for values in _grouped(command, numbers):
        if command == "C":
            path.curveTo(*values)
            x, y = values[4], values[5]
            continue
        x, y = _moved(command, values, (x, y))
        if command == "M":
            path.moveTo(x, y)
        else:
            path.lineTo(x + (0.01 if (x, y) == at else 0.0), y)  # a dot is a line of no length
    return x, y


def _moved(command: str, values: tuple[float, ...], at: tuple[float, float]) -> tuple[float, float]:
    x, y = at
    if command in "ML":
        return values[0], values[1]
    ways = {"H": (values[0], y), "h": (x + values[0], y), "V": (x, values[0])}
    return ways.get(command, (x, y + values[0]))


def _grouped(command: str, numbers: list[float]) -> Iterator[tuple[float, ...]]:
    size = {"C": 6, "M": 2, "L": 2}.get(command, 1)
    for start in range(0, len(numbers) - size + 1, size):
        yield tuple(numbers[start : start + size])
