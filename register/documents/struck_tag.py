"""The sign of the house for 'do not use': a tag, struck. The same drawing as on the pages."""

from __future__ import annotations

from typing import Any

WIDTH, HEIGHT = 88.0, 104.0
_LINES = ((24, 52, 64, 52), (24, 66, 64, 66), (24, 80, 50, 80))
_BODY = (26, 14, 62, 14, 78, 30, 78, 98, 10, 98, 10, 30)
_STROKE = (3, 100, 85, 20)


def struck_tag(height: float) -> Any:
    """A drawing so many points high."""
    from reportlab.graphics.shapes import Circle, Drawing, Group, Line, Polygon
    from reportlab.lib.colors import black, white

    share = height / HEIGHT
    ink = {"strokeColor": black, "fillColor": None, "strokeLineJoin": 1}
    parts = Group(
        Line(44, 26, 44, 2, strokeColor=black, strokeWidth=3),
        Polygon(list(_BODY), strokeWidth=5, **ink),
        Circle(44, 30, 5, strokeWidth=4, strokeColor=black, fillColor=white),
        *(Line(*line, strokeColor=black, strokeWidth=4) for line in _LINES),
        Line(*_STROKE, strokeColor=white, strokeWidth=20),
        Line(*_STROKE, strokeColor=black, strokeWidth=10),
    )
    parts.transform = (share, 0, 0, -share, 0, height)
    drawing = Drawing(WIDTH * share, height)
    drawing.add(parts)
    return drawing
