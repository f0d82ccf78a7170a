"""The blocks of a paper as reportlab's flowables, in one plain style."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from html import escape
from typing import Any

from register.documents.content import (
    Block,
    Card,
    Caution,
    Heading,
    Identity,
    Row,
    Sketch,
    Statement,
    Table,
    TearOff,
    ToWrite,
    Words,
)
from register.documents.struck_tag import struck_tag
from register.lettering import BOLD, LETTERS

SMALL_PT = 8.0
PLAIN_PT = 9.5
WRITING_PT = 24.0  # between two lines to write on
SIGN_PT = 74.0
AFAR_SHARE = 0.29  # of the width, how high the sign stands that is seen from afar
NAME_SHARE = 0.32
ROWS_A_TABLE = 150
"""A table is split over pages by trying each part again: long ones are drawn in pieces."""

_STYLES: dict[str, dict[str, Any]] = {
    "plain": {"fontSize": PLAIN_PT, "leading": 12.5},
    "small": {"fontSize": SMALL_PT, "leading": 10.5},
    "strong": {"fontName": BOLD, "fontSize": PLAIN_PT, "leading": 12.5},
    "head": {"fontName": BOLD, "fontSize": SMALL_PT, "leading": 10.5},
    "heading": {"fontName": BOLD, "fontSize": 12, "leading": 15, "spaceBefore": 9, "spaceAfter": 3},
    "title": {"fontName": BOLD, "fontSize": 18, "leading": 22, "spaceBefore": 6, "spaceAfter": 3},
    "large": {"fontName": BOLD, "fontSize": 26, "leading": 31},
    "code": {"fontName": BOLD, "fontSize": 12, "leading": 15, "alignment": 1},
    "card": {"fontName": BOLD, "fontSize": 12, "leading": 14.5},
    "verdict": {"fontName": BOLD, "fontSize": 12, "leading": 14.5, "alignment": 2},
    "told": {"fontName": BOLD, "fontSize": 11, "leading": 13.5},
    "step": {"fontSize": 11, "leading": 13, "leftIndent": 14, "firstLineIndent": -14},
}


@cache
def _style(name: str) -> Any:
    from reportlab.lib.styles import ParagraphStyle

    return ParagraphStyle(name, **{"fontName": LETTERS, **_STYLES[name]})


def paragraph(text: str, style: str = "plain", *, struck: bool = False) -> Any:
    """Text as it is; struck, it stays legible under its line."""
    from reportlab.platypus import Paragraph

    told = escape(text).replace("\n", "<br/>")
    return Paragraph(f"<strike>{told}</strike>" if struck else told, _style(style))


def flowables(blocks: Sequence[Block], width: float, *, torn: bool = False) -> Iterator[Any]:
    """Every block in its order, for a page of this inner width; ``torn``: what is to be torn off is
    a label of its own."""
    from reportlab.platypus import PageBreak, Spacer

    for block in blocks:
        if torn and block.block == TearOff.block:
            yield PageBreak()
        yield Spacer(1, 6)
        yield from _DRAWN[block.block](block, width)


def _heading(block: Heading, _width: float) -> Iterator[Any]:
    from reportlab.platypus import CondPageBreak

    yield CondPageBreak(70)  # a heading never stands alone at the foot of a page
    yield paragraph(block.text, "heading")


def _words(block: Words, _width: float) -> Iterator[Any]:
    yield paragraph(block.text, "strong" if block.strong else "plain", struck=block.struck)


def _identity(block: Identity, width: float) -> Iterator[Any]:
    from reportlab.platypus import Table as Grid

    rows = [[paragraph(name, "small"), paragraph(value, "strong")] for name, value in block.pairs]
    if rows:
        grid = Grid(rows, colWidths=(width * NAME_SHARE, width * (1 - NAME_SHARE)))
        grid.setStyle([*PLAIN, ("LINEBELOW", (0, 0), (-1, -1), 0.3, "black")])
        yield grid


def _table(block: Table, width: float) -> Iterator[Any]:
    from reportlab.platypus import LongTable

    widths = [width * share / sum(block.shares) for share in block.shares]
    head = [paragraph(text, "head") for text in block.heads]
    for start in range(0, max(len(block.rows), 1), ROWS_A_TABLE):
        told, style = _told(block.rows[start : start + ROWS_A_TABLE])
        grid = LongTable([head, *told], colWidths=widths, repeatRows=1)
        grid.setStyle([*PLAIN, ("LINEBELOW", (0, 0), (-1, 0), 1.2, "black"), *style])
        yield grid


def _told(rows: Sequence[Row]) -> tuple[list[list[Any]], list[tuple[Any, ...]]]:
    """The rows, each line beneath one over all columns and kept with it."""
    told: list[list[Any]] = []
    style: list[tuple[Any, ...]] = []
    for row in rows:
        look = "strong" if row.strong else "plain"
        told.append([paragraph(cell, look, struck=row.struck) for cell in row.cells])
        if row.under:
            told.append([paragraph(row.under, "small"), *[""] * (len(row.cells) - 1)])
            at = len(told)
            style += [("SPAN", (0, at), (-1, at)), ("NOSPLIT", (0, at - 1), (-1, at))]
        style.append(("LINEBELOW", (0, len(told)), (-1, len(told)), 0.3, "black"))
    return told, style


def _statement(block: Statement, width: float) -> Iterator[Any]:
    from reportlab.platypus import Table as Grid

    high = width * AFAR_SHARE if block.from_afar else SIGN_PT
    sign = high + 14 if block.forbids else 0
    line = "strong" if block.from_afar else "plain"
    said = [_large(block, width - sign), *(paragraph(each, line) for each in block.lines)]
    cells = [struck_tag(high), said] if block.forbids else [said]
    grid = Grid([cells], colWidths=[*([sign] if sign else []), width - sign])
    grid.setStyle(
        [
            ("BOX", (0, 0), (-1, -1), 2.5, "black"),
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
            *((f"{side}PADDING", (0, 0), (-1, -1), 8) for side in ("LEFT", "RIGHT", "TOP")),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 10),
        ]
    )
    yield grid


def _large(block: Statement, width: float) -> Any:
    """The words themselves, in one line as wide as there is room where they are read from afar."""
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.pdfbase.pdfmetrics import stringWidth
    from reportlab.platypus import Paragraph

    if not block.from_afar:
        return paragraph(block.text, "large")
    size = 0.97 * (width - 18) / stringWidth(block.text, BOLD, 1)
    leading = {"fontSize": size, "leading": 1.15 * size, "spaceAfter": 6}
    return Paragraph(escape(block.text), ParagraphStyle("afar", fontName=BOLD, **leading))


def _caution(block: Caution, width: float) -> Iterator[Any]:
    from reportlab.platypus import Table as Grid

    told = paragraph(block.text, "card" if block.large else "strong")
    grid = Grid([[told]], colWidths=[width])
    grid.setStyle([*PLAIN, ("LINEBEFORE", (0, 0), (0, 0), 4, "black"), _INDENT])
    yield grid


def _to_write(block: ToWrite, width: float) -> Iterator[Any]:
    from reportlab.platypus import Table as Grid

    rows = [[paragraph(label, "small"), ""] for label in block.labels]
    share = (width * NAME_SHARE, width * (1 - NAME_SHARE))
    grid = Grid(rows, colWidths=share, rowHeights=[WRITING_PT] * len(rows))
    line = ("LINEBELOW", (1, 0), (1, -1), 0.6, "black")
    grid.setStyle([*PLAIN, ("VALIGN", (0, 0), (-1, -1), "BOTTOM"), line])
    yield grid


def _tear_off(block: TearOff, _width: float) -> Iterator[Any]:
    from reportlab.platypus import HRFlowable

    yield HRFlowable(
        width="100%", thickness=1, dash=(4, 3), color="black", spaceBefore=10, spaceAfter=2
    )
    yield paragraph(block.text, "small")


def _card(block: Card, width: float) -> Iterator[Any]:
    from register.documents.cards import card_flowables

    yield from card_flowables(block, width)


def _sketch(block: Sketch, width: float) -> Iterator[Any]:
    from register.documents.cards import sketch_flowables

    yield from sketch_flowables(block, width)


PLAIN: list[tuple[Any, ...]] = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 6),
    ("TOPPADDING", (0, 0), (-1, -1), 2),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
]
_INDENT = ("LEFTPADDING", (0, 0), (0, 0), 8)
_DRAWN: dict[str, Callable[[Any, float], Iterator[Any]]] = {
    Heading.block: _heading,
    Words.block: _words,
    Identity.block: _identity,
    Table.block: _table,
    Statement.block: _statement,
    Caution.block: _caution,
    ToWrite.block: _to_write,
    TearOff.block: _tear_off,
    Card.block: _card,
    Sketch.block: _sketch,
}
