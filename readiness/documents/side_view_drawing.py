"""A scene in metres becomes a drawing in points: one scale along and up, black on white.

What is what shows by line and hatching, never by a colour. The drawing goes into a PDF as it is,
and through `side_view_svg` onto a page.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from reportlab.graphics import shapes
from reportlab.graphics.shapes import Drawing
from reportlab.lib.colors import black, white
from reportlab.pdfbase.pdfmetrics import stringWidth

from readiness.documents.hatching import ROLES, Ink, hatch
from readiness.documents.side_view_columns import (
    PITCH_PT,
    SIZE_PT,
    WIDTHS_PT,
    column_pieces,
    shortened,
)
from readiness.rules.sums.side_view import Note, Scene, Shape
from readiness.wording.lengths import Unit
from readiness.wording.side_view import column_words, foot_words, note_words, span_words
from register.lettering import LETTERS

WIDTH_PT: Final = 480.0
HEIGHT_PT: Final = 560.0
EDGE_PT: Final = 8.0
FOOT_PT: Final = 26.0
HEAD_PT: Final = 26.0


@dataclass(frozen=True, slots=True)
class Scale:
    """Points a metre, and where the scene's lower left corner lies."""

    pt: float
    left_m: float
    bottom_m: float
    x_pt: float
    y_pt: float
    scene: Scene

    def at(self, point: tuple[float, float]) -> tuple[float, float]:
        x, z = point
        return self.x_pt + (x - self.left_m) * self.pt, self.y(z)

    def y(self, height_m: float) -> float:
        return self.y_pt + (self.scene.drawn_z(height_m) - self.bottom_m) * self.pt


def scale_of(scene: Scene) -> Scale:
    """The largest scale at which the scene fits beside its columns; the same in both directions."""
    left, right, bottom, top = scene.box
    low, high = scene.drawn_z(bottom), scene.drawn_z(top)
    wide = _picture_end(scene) - EDGE_PT
    pt = min(wide / (right - left), (HEIGHT_PT - FOOT_PT - HEAD_PT) / (high - low))
    spare = wide - pt * (right - left)
    aside = 0.0 if scene.columns else spare / 2
    return Scale(pt, left, low, EDGE_PT + aside, FOOT_PT, scene)


def _picture_end(scene: Scene) -> float:
    """Where the part that is to scale ends and the columns begin."""
    return WIDTH_PT - EDGE_PT - sum(WIDTHS_PT[column.code] for column in scene.columns)


def side_view_drawing(scene: Scene, unit: Unit = "m") -> Drawing:
    """The whole picture with its labels, columns and scale bar."""

    scale = scale_of(scene)
    top = scale.y(scene.box[3])
    drawing = Drawing(WIDTH_PT, top + HEAD_PT)
    for shape in sorted(scene.shapes, key=lambda each: ROLES[each.role].order):
        for piece in _pieces(shape, scale):
            drawing.add(piece)
    for piece in (
        *_break(scale),
        *_notes(scale, unit),
        *_columns(scale, unit),
        *_foot(scale, unit),
    ):
        drawing.add(piece)
    return drawing


def _pieces(shape: Shape, scale: Scale) -> list[Any]:

    ink = ROLES[shape.role]
    points = [scale.at(point) for point in shape.points]
    flat = [place for point in points for place in point]
    if shape.kind == "circle":
        radius = max(2.0, shape.radius_m * scale.pt)
        return [shapes.Circle(*points[0], radius, **_pen(ink), fillColor=ink.fill)]
    if shape.kind == "area":
        area = shapes.Polygon(flat, **_pen(ink), fillColor=ink.fill)
        return [area, *hatch(ink.hatching, points)]
    if ink.teeth:
        return [shapes.PolyLine(_zigzag(points), **_pen(ink))]
    line = shapes.PolyLine(flat, **_pen(ink))
    if ink.ends:
        return [line, *(shapes.Line(x - 3, y, x + 3, y, **_pen(ink)) for x, y in points)]
    return [line, *_arrow(points, ink)] if ink.arrow else [line]


def _pen(ink: Ink) -> dict[str, Any]:

    dashes = list(ink.dashes) if ink.dashes else None
    return {"strokeColor": black, "strokeWidth": ink.weight, "strokeDashArray": dashes}


def _zigzag(points: Sequence[tuple[float, float]]) -> list[float]:
    """The torn absorber: from end to end in teeth."""
    (x, top), (_, bottom) = points
    teeth = max(4, round((top - bottom) / 4))
    flat: list[float] = [x, top]
    for tooth in range(1, teeth):
        flat += [x + (3 if tooth % 2 else -3), top + (bottom - top) * tooth / teeth]
    return [*flat, x, bottom]


def _arrow(points: Sequence[tuple[float, float]], ink: Ink) -> list[Any]:

    (x, before), (_, end) = points[-2:]
    back = 7 if end < before else -7
    head = [x, end, x - 4, end + back, x + 4, end + back]
    return [shapes.Polygon(head, strokeColor=black, strokeWidth=ink.weight, fillColor=black)]


def _break(scale: Scale) -> list[Any]:
    """Two ragged lines with nothing between: height is left out here, and only here."""

    gap, box = scale.scene.gap, scale.scene.box
    if gap is None:
        return []
    low, high = scale.y(gap.low_m), scale.y(gap.high_m)
    left, right = scale.at((box[0], 0))[0], scale.at((box[1], 0))[0]
    inner = (high - low) / 4
    ends = [_ragged(left, right, low + inner), _ragged(left, right, high - inner)]
    back = [flat for pair in zip(ends[1][-2::-2], ends[1][::-2], strict=True) for flat in pair]
    cover = shapes.Polygon([*ends[0], *back], strokeColor=None, fillColor=white)
    lines = [shapes.PolyLine(end, strokeColor=black, strokeWidth=0.8) for end in ends]
    return [cover, *lines]


def _ragged(left: float, right: float, y: float) -> list[float]:
    flat: list[float] = []
    steps = 12
    for step in range(steps + 1):
        flat += [left + (right - left) * step / steps, y + (2 if step % 2 else -2)]
    return flat


def _notes(scale: Scale, unit: Unit) -> list[Any]:
    """Words keep to the part of the picture that the columns leave."""
    ends = (EDGE_PT, _picture_end(scale.scene))
    found = []
    for note in scale.scene.notes:
        words = note_words(note, unit)
        if words:
            found += _label(words, _beside(note, scale), note.align, ends)
    return found


def _beside(note: Note, scale: Scale) -> tuple[float, float]:
    """Where the words begin (or end, or have their middle), so many points from their place."""
    x, y = scale.at(note.at)
    if note.side != "level":
        return x, y + (4 if note.side == "above" else -PITCH_PT)
    return x + {"start": 5, "middle": 0, "end": -5}[note.align], y - SIZE_PT / 3


def _label(words: str, at: tuple[float, float], align: str, ends: tuple[float, float]) -> list[Any]:
    """Words on a white ground, moved sideways so far that they stay in the picture."""

    words = shortened(words, ends[1] - ends[0])
    wide = stringWidth(words, LETTERS, SIZE_PT)
    x = at[0] - {"start": 0, "middle": wide / 2, "end": wide}[align]
    x = min(max(x, ends[0]), ends[1] - wide)
    ground = shapes.Rect(x - 1, at[1] - 2, wide + 2, PITCH_PT, strokeColor=None, fillColor=white)
    letters = shapes.String(x, at[1], words, fontName=LETTERS, fontSize=SIZE_PT, fillColor=black)
    return [ground, letters]


def _columns(scale: Scale, unit: Unit) -> list[Any]:
    found: list[Any] = []
    left = _picture_end(scale.scene) + EDGE_PT
    for column in scale.scene.columns:
        found += column_pieces(
            column,
            [span_words(span, column, unit) for span in column.spans],
            column_words(column, unit),
            left,
            scale.y,
        )
        left += WIDTHS_PT[column.code]
    return found


def _foot(scale: Scale, unit: Unit) -> list[Any]:
    """The scale bar: one metre, two, five ... or so many feet, as long as fits a fifth."""

    metre = scale.pt if unit == "m" else scale.pt * 0.3048
    fitting = [size for size in (1, 2, 5, 10, 20) if size * metre <= WIDTH_PT / 5] or [1]
    size = fitting[-1]
    x, y = EDGE_PT, 8.0
    bar = shapes.Rect(x, y, size * metre, 4, strokeColor=black, strokeWidth=0.8, fillColor=None)
    half = shapes.Rect(x, y, size * metre / 2, 4, strokeColor=None, fillColor=black)
    words = f"{size} {unit}"
    label = shapes.String(
        x + size * metre + 4, y - 2, words, fontName=LETTERS, fontSize=SIZE_PT, fillColor=black
    )
    told = shapes.String(
        WIDTH_PT - EDGE_PT,
        y - 2,
        foot_words(),
        fontName=LETTERS,
        fontSize=SIZE_PT,
        fillColor=black,
        textAnchor="end",
    )
    return [bar, half, label, told]
