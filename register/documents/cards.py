"""A card and a sketch of a paper as reportlab's flowables: read from a step away, kept in one piece."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from register.documents.content import Card, Picture, Sketch
from register.documents.drawing import sketched
from register.documents.flowing import PLAIN, paragraph

SIGN_PT = 62.0
SKETCH_PT = 220.0
VERDICT_SHARE = 0.34
NAME_PT = 52.0
PAIRS_SHARE = 0.5
PICTURE_PT = (120.0, 96.0)
"""The widest and the highest that a picture beside them may be."""


def sketch_flowables(block: Sketch, width: float) -> Iterator[Any]:
    yield sketched(block, min(width, SKETCH_PT))
    yield paragraph(block.words, "small")


def card_flowables(block: Card, width: float) -> Iterator[Any]:
    """A rule above it, and never broken over two pages unless it is longer than one."""
    from reportlab.platypus import HRFlowable, KeepTogether

    rule = HRFlowable(width="100%", thickness=1.6, color="black", spaceBefore=2, spaceAfter=3)
    yield KeepTogether([rule, _head(block, width), *_body(block, width)])


def _head(block: Card, width: float) -> Any:
    from reportlab.platypus import Table

    verdict = width * VERDICT_SHARE if block.verdict else 0
    left = SIGN_PT + 10 if block.sign else 0
    cells = [(left, [sketched(block.sign, SIGN_PT)])] if block.sign else []
    cells.append((width - left - verdict, [paragraph(block.title, "card")]))
    if verdict:
        cells.append((verdict, [paragraph(block.verdict, "verdict")]))
    grid = Table([[told for _wide, told in cells]], colWidths=[wide for wide, _told in cells])
    grid.setStyle([*PLAIN, ("VALIGN", (0, 0), (-1, -1), "MIDDLE")])
    return grid


def _body(block: Card, width: float) -> Iterator[Any]:
    """What to do, beside it by whom and with what, beside that the picture."""
    from reportlab.platypus import Table

    steps, pairs = list(_steps(block)), block.pairs
    columns: list[tuple[float, Any]] = []
    if block.picture:
        drawing = _fitted(block.picture)
        columns.append((drawing.width + 8, [drawing, paragraph(block.picture.caption, "small")]))
    left = width - sum(wide for wide, _told in columns)
    if pairs:
        share = left * PAIRS_SHARE if steps else left
        columns.insert(0, (share, [_pairs(block, share - 6)]))
    if steps:
        columns.insert(0, (left * (1 - PAIRS_SHARE) if pairs else left, steps))
    if columns:
        grid = Table([[told for _wide, told in columns]], colWidths=[wide for wide, _ in columns])
        grid.setStyle(PLAIN)
        yield grid


def _steps(block: Card) -> Iterator[Any]:
    for number, step in enumerate(block.steps, 1):
        yield paragraph(f"{number}. {step}" if len(block.steps) > 1 else step, "step")
    for note in block.notes:
        yield paragraph(note, "told")


def _pairs(block: Card, width: float) -> Any:
    """Under each other, each beside its name."""
    from reportlab.platypus import Table

    rows = [[paragraph(name, "small"), paragraph(value, "told")] for name, value in block.pairs]
    grid = Table(rows, colWidths=(NAME_PT, width - NAME_PT))
    grid.setStyle([*PLAIN, ("TOPPADDING", (0, 0), (-1, -1), 0)])
    return grid


def _without_letters(group: Any) -> None:
    """So small they could not be read: the words beside the picture tell its figures."""
    from reportlab.graphics.shapes import Group, String

    group.contents = [one for one in group.contents if not isinstance(one, String)]
    for one in group.contents:
        if isinstance(one, Group):
            _without_letters(one)


def _fitted(picture: Picture) -> Any:
    drawing = picture.drawn()
    _without_letters(drawing)
    share = min(PICTURE_PT[0] / drawing.width, PICTURE_PT[1] / drawing.height)
    drawing.scale(share, share)
    drawing.width, drawing.height = drawing.width * share, drawing.height * share
    return drawing
