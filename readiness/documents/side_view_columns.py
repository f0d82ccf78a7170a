"""The upright bars beside a side view: lengths stacked to scale, each hatched and labelled."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Final

from reportlab.graphics import shapes
from reportlab.lib.colors import black
from reportlab.pdfbase.pdfmetrics import stringWidth

from readiness.documents.hatching import SPANS, hatch
from readiness.rules.sums.side_view import Column
from register.lettering import BOLD, LETTERS

WIDTHS_PT: Final = {"needed": 178.0, "clear": 106.0}
BAR_PT: Final = 16.0
GAP_PT: Final = 8.0
EDGE_PT: Final = 4.0
SIZE_PT: Final = 8.0
PITCH_PT: Final = 9.5


def column_pieces(
    column: Column,
    words: Sequence[str],
    head: Sequence[str],
    left: float,
    y: Callable[[float], float],
) -> list[Any]:
    """The bar at `left`, its heading above it, its labels to the right where each has room."""

    found: list[Any] = []
    room = WIDTHS_PT[column.code] - EDGE_PT
    middles = [(y(span.top_m) + y(span.bottom_m)) / 2 for span in column.spans]
    for span, text, middle, place in zip(
        column.spans, words, middles, spread(middles), strict=True
    ):
        top, bottom = y(span.top_m), y(span.bottom_m)
        corners = [(left, bottom), (left + BAR_PT, bottom), (left + BAR_PT, top), (left, top)]
        flat = [at for corner in corners for at in corner]
        weight = 2.0 if span.code == "short" else 0.8
        found.append(shapes.Polygon(flat, strokeColor=black, strokeWidth=weight, fillColor=None))
        found += hatch(SPANS.get(span.code, "up"), corners)
        end = left + BAR_PT + GAP_PT
        found.append(
            shapes.Line(left + BAR_PT, middle, end, place, strokeColor=black, strokeWidth=0.4)
        )
        found.append(_letters(text, (end + 1, place - SIZE_PT / 3), room - (end + 1 - left)))
    top = max(y(span.top_m) for span in column.spans)
    found.append(_letters(head[1], (left, top + 4), room))
    return [*found, _letters(head[0], (left, top + 4 + PITCH_PT), room, bold=True)]


def spread(middles: Sequence[float]) -> list[float]:
    """Heights for labels, top first, each at its place or as much lower as the ones above need."""
    places: list[float] = []
    for middle in middles:
        lowest = places[-1] - PITCH_PT if places else middle
        places.append(min(middle, lowest))
    return places


def _letters(
    words: str, at: tuple[float, float], room_pt: float, *, bold: bool = False
) -> shapes.String:
    font = BOLD if bold else LETTERS
    words = shortened(words, room_pt, font)
    return shapes.String(*at, words, fontName=font, fontSize=SIZE_PT, fillColor=black)


def shortened(words: str, room_pt: float, font: str = LETTERS) -> str:
    """Cut off with dots where there is no room; the list beneath the picture has the whole."""
    if stringWidth(words, font, SIZE_PT) <= room_pt:
        return words
    while words and stringWidth(words + "...", font, SIZE_PT) > room_pt:
        words = words[:-1]
    return words + "..."
