"""How each thing of a side view is inked: weight, dashes, hatching. Black and white alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from reportlab.graphics.shapes import Circle, Line
from reportlab.lib.colors import Color, black, white

STEP_PT: Final = 4.0


@dataclass(frozen=True, slots=True)
class Ink:
    """`order` is when it is painted; `hatching` one of up, down, across, level, upright, dots, ''."""

    order: int
    weight: float = 1.0
    dashes: tuple[float, ...] = ()
    hatching: str = ""
    fill: Color | None = None
    teeth: bool = False
    arrow: bool = False
    ends: bool = False


ROLES: Final = {
    "swing-envelope": Ink(0, 0.6, (3, 2), "dots"),
    "zone": Ink(0, 0.8, (3, 2), "dots"),
    "work": Ink(3, 1.6),
    "outside": Ink(4, 4.5),
    "worker": Ink(5, 1.4, fill=white),
    "reach": Ink(0, 0.8, (3, 2), "dots"),
    "fragile": Ink(1, 0.8, hatching="down"),
    "fragile-passed": Ink(1, 2.4, hatching="across"),
    "edge": Ink(2, 1.6),
    "edge-passed": Ink(2, 4.0),
    "guarded": Ink(2, 1.0, (1.5, 1.5)),
    "surface": Ink(1, 1.6, hatching="up", fill=white),
    "landing": Ink(1, 1.2, hatching="up", fill=white),
    "below": Ink(1, 0.8, hatching="down", fill=white),
    "obstacle": Ink(1, 0.8, hatching="down", fill=white),
    "struck": Ink(2, 2.0, hatching="across", fill=white),
    "structure": Ink(2, 1.2, hatching="up", fill=white),
    "line-at-rest": Ink(3, 0.9, (4, 2.5)),
    "swing-arc": Ink(3, 0.9, (6, 2, 1, 2)),
    "line-deployed": Ink(4, 1.8),
    "rescue-rope": Ink(4, 1.8, (7, 2)),
    "harness": Ink(4, 2.6, (1.5, 1.5)),
    "absorber": Ink(4, 1.2, teeth=True),
    "dimension": Ink(3, 0.6, ends=True),
    "direction": Ink(4, 1.4, arrow=True),
    "standing": Ink(5, 1.1, fill=white),
    "rescuer": Ink(5, 1.1, fill=white),
    "hanging": Ink(6, 2.2, fill=black),
    "anchor": Ink(7, 1.6, fill=white),
    "rescue-anchor": Ink(7, 1.6, fill=white),
}

SPANS: Final = {
    "lanyard": "",
    "free-fall": "",
    "extension": "across",
    "arrest": "across",
    "chart": "level",
    "body": "level",
    "harness": "down",
    "margin": "dots",
    "swing": "upright",
    "clear-height": "",
    "taken": "",
    "spare": "dots",
    "short": "across",
}
"""Every other part (sling, sag, stretch, crouching) is hatched upwards."""


def hatch(hatching: str, corners: Sequence[tuple[float, float]]) -> list[Any]:
    """Lines, or dots, across a convex or ring-shaped area, cut at its rim."""
    if not hatching:
        return []
    if hatching == "dots":
        return _dots(corners)
    directions = {"up": (1, 1), "down": (1, -1), "level": (1, 0), "upright": (0, 1)}
    if hatching == "across":
        return [*_lines((1, 1), corners), *_lines((1, -1), corners)]
    return _lines(directions[hatching], corners)


def _lines(way: tuple[int, int], corners: Sequence[tuple[float, float]]) -> list[Any]:
    """Parallel lines `STEP_PT` apart; each is drawn where it lies inside the rim."""

    long = (way[0] ** 2 + way[1] ** 2) ** 0.5
    nx, ny = -way[1] / long, way[0] / long
    reach = [x * nx + y * ny for x, y in corners]
    found = []
    level = STEP_PT * (min(reach) // STEP_PT + 1)
    while level < max(reach):
        ends = _cuts((nx, ny), level, corners)
        found += [
            Line(*one, *other, strokeColor=black, strokeWidth=0.4)
            for one, other in zip(ends[::2], ends[1::2], strict=False)
        ]
        level += STEP_PT
    return found


def _cuts(
    normal: tuple[float, float], level: float, corners: Sequence[tuple[float, float]]
) -> list[tuple[float, float]]:
    """Where one line of the hatching crosses the rim, in order along it."""
    nx, ny = normal
    found = []
    for (x1, y1), (x2, y2) in zip(corners, [*corners[1:], corners[0]], strict=True):
        here, there = x1 * nx + y1 * ny - level, x2 * nx + y2 * ny - level
        if (here < 0) != (there < 0):
            share = here / (here - there)
            found.append((x1 + share * (x2 - x1), y1 + share * (y2 - y1)))
    return sorted(found, key=lambda point: point[0] * ny - point[1] * nx)


def _dots(corners: Sequence[tuple[float, float]]) -> list[Any]:

    ys = [y for _, y in corners]
    found = []
    level, odd = min(ys) + STEP_PT / 2, False
    while level < max(ys):
        ends = _cuts((0.0, 1.0), level, corners)
        for one, other in zip(ends[::2], ends[1::2], strict=False):
            x = STEP_PT * 2 * (one[0] // (STEP_PT * 2) + 1) - (STEP_PT if odd else 0)
            while x < other[0]:
                if x > one[0]:
                    found.append(Circle(x, level, 0.45, strokeColor=None, fillColor=black))
                x += STEP_PT * 2
        level, odd = level + STEP_PT, not odd
    return found
