"""The sums of a fall on paper: one sheet with its picture to scale, its parts and its caution."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from io import BytesIO
from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext as _

from readiness.documents.side_view import picture
from readiness.rules.sums.side_view import Scene
from readiness.wording.fall import FallWords
from readiness.wording.lengths import Unit
from readiness.wording.side_view import scene_title
from register.lettering import BOLD, LETTERS, embed_letters

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

PICTURE_PT = 470.0  # so high at most that a picture leaves room for its heading


@dataclass(frozen=True, slots=True)
class Sheet:
    """What stands on it beside the words: which task, who did the sums and when, or that nobody kept
    them yet. Sums that do not count say so before anything else."""

    heading: str
    told: str
    words: FallWords
    scenes: tuple[Scene, ...]
    unit: Unit
    counts: bool = True


def fall_sheet(sheet: Sheet) -> bytes:
    """A PDF of A4 pages, black on white."""
    from reportlab.lib.pagesizes import A4
    from reportlab.platypus import SimpleDocTemplate

    embed_letters()
    out = BytesIO()
    margins = {f"{side}Margin": 57 for side in ("left", "right", "top", "bottom")}
    paper = SimpleDocTemplate(out, pagesize=A4, title=sheet.heading, **margins)
    foot = _foot(sheet)
    paper.build(list(_story(sheet)), onFirstPage=foot, onLaterPages=foot)
    return out.getvalue()


def _foot(sheet: Sheet) -> Any:
    def drawn(canvas: Any, paper: Any) -> None:
        canvas.setFont(LETTERS, 8)
        canvas.drawString(57, 32, f"{sheet.heading[:90]}  {canvas.getPageNumber()}")

    return drawn


def _story(sheet: Sheet) -> Iterable[Flowable]:
    from reportlab.platypus import Spacer

    words = sheet.words
    yield _line(sheet.heading, "Heading2")
    yield _line(sheet.told, "BodyText" if sheet.counts else "Heading3")
    yield _line(words.verdict, "Heading3")
    yield _line(words.caution)
    yield Spacer(1, 6)
    yield _fitted(sheet.scenes[0], sheet.unit)
    yield _line(words.used)
    yield _table([(one.name, one.length, one.basis) for one in words.parts], (170, 70, 240))
    heads = ("", _("needed"), _("there is"))
    rows = [(one.name, one.needed, one.there) for one in words.planes]
    yield Spacer(1, 6)
    yield _table([heads, *rows], (240, 110, 110))
    for line in (*words.flags, *words.fall, *words.force):
        yield _line(line)
    for scene in sheet.scenes[1:]:
        yield _line(scene_title(scene), "Heading3")
        yield _fitted(scene, sheet.unit)
    yield from _lists(words)


def _lists(words: FallWords) -> Iterable[Flowable]:
    told = [
        (_("The swing"), words.swing),
        (_("Where one may work below the anchor"), words.zone),
        (_("What the anchor must hold"), words.anchor),
    ]
    if not words.enough:
        told.append((_("What would help, first things first"), words.levers))
    for heading, lines in told:
        if lines:
            yield _line(heading, "Heading3")
            yield from (_line(line) for line in lines)


def _line(text: str, style: str = "BodyText") -> Flowable:
    from reportlab.lib.styles import getSampleStyleSheet
    from reportlab.platypus import Paragraph

    plain = getSampleStyleSheet()[style]
    plain.fontName = LETTERS if style == "BodyText" else BOLD
    plain.keepWithNext = int(style != "BodyText")
    return Paragraph(escape(text), plain)


def _table(rows: list[tuple[str, ...]], widths: tuple[float, ...]) -> Flowable:
    from reportlab.platypus import Table

    told = [[_line(cell) for cell in row] for row in rows]
    table = Table(told, colWidths=widths, hAlign="LEFT")
    table.setStyle(
        [("LINEBELOW", (0, 0), (-1, -1), 0.4, "black"), ("VALIGN", (0, 0), (-1, -1), "TOP")]
    )
    return table


def _fitted(scene: Scene, unit: Unit) -> Flowable:
    """The same drawing as on the page; both directions smaller where it is too high for the sheet."""
    drawing = picture(scene, unit)
    share = min(1.0, PICTURE_PT / drawing.height)
    drawing.scale(share, share)
    drawing.width, drawing.height = drawing.width * share, drawing.height * share
    flowable: Flowable = drawing
    return flowable
