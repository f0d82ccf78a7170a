"""The house's paper: the head with employer and QR code, the foot on every page, 'page x of y'.

Black on white alone. Nothing is smaller than 8 points.
"""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from typing import Any

from django.utils.translation import gettext as _

from register.documents.content import Content, Frame
from register.documents.flowing import SMALL_PT, flowables, paragraph
from register.lettering import BOLD, LETTERS, embed_letters
from register.models import PaperSize
from register.qr_drawing import MM, draw_qr
from register.rules.qr import fit_into
from register.rules.tags import shown

GAP = 4 * MM


@dataclass(frozen=True, slots=True)
class Sheet:
    """Sizes in points; ``foot`` and ``top`` are what the lines at the foot of every page and at the
    head of a later one take up. ``qr_mm`` is one side of the code with its quiet zone."""

    width: float
    height: float
    margin: float
    foot: float
    top: float
    qr_mm: float

    @property
    def inner(self) -> float:
        return self.width - 2 * self.margin


SHEETS: dict[str, Sheet] = {
    PaperSize.A4: Sheet(210 * MM, 297 * MM, 17 * MM, 20 * MM, 19 * MM, 31.0),
    PaperSize.LETTER: Sheet(612, 792, 17 * MM, 20 * MM, 19 * MM, 31.0),
    PaperSize.LABEL: Sheet(100 * MM, 150 * MM, 5 * MM, 11 * MM, 11 * MM, 27.0),
}


def pdf_of(content: Content, frame: Frame) -> bytes:
    """The paper as a PDF, not sealed yet."""
    embed_letters()
    out = BytesIO()
    sheet = SHEETS[frame.size]
    paper = _paper(out, content, frame, sheet)
    head = _head(content, frame, sheet)
    small = frame.size == PaperSize.LABEL
    blocks = flowables(content.blocks, sheet.inner, torn=small)
    end = [paragraph(note, "small") for note in frame.notes] if small else []
    paper.build([head, *blocks, *end], canvasmaker=_counting(frame, sheet, hangs=content.hangs))
    return out.getvalue()


def _paper(out: BytesIO, content: Content, frame: Frame, sheet: Sheet) -> Any:
    from reportlab.platypus import BaseDocTemplate, PageTemplate
    from reportlab.platypus import Frame as Area

    none = dict.fromkeys(("leftPadding", "rightPadding", "topPadding", "bottomPadding"), 0)
    at, inner = (sheet.margin, sheet.foot), sheet.inner
    first = Area(*at, inner, sheet.height - sheet.foot - sheet.margin, id="first", **none)
    later = Area(*at, inner, sheet.height - sheet.foot - sheet.top, id="later", **none)
    paper = BaseDocTemplate(
        out,
        pagesize=(sheet.width, sheet.height),
        title=f"{content.title}, {shown(frame.reference)}",
        subject=content.about,
        author=frame.employer,
        creator="Tallyhook",
        lang=frame.language,
    )
    begun, gone_on = _first_page(frame, sheet), _later_page(content, frame, sheet)
    paper.addPageTemplates(
        [
            PageTemplate("first", [first], onPage=begun, autoNextPageTemplate="later"),
            PageTemplate("later", [later], onPage=gone_on),
        ]
    )
    return paper


def _head(content: Content, frame: Frame, sheet: Sheet) -> Any:
    """The words beside the QR code; what follows begins beneath both."""
    from reportlab.platypus import Table

    title, about = ("heading", "small") if frame.size == PaperSize.LABEL else ("title", "plain")
    beside = [
        paragraph(frame.employer, "strong"),
        *([paragraph(frame.address, "small")] if frame.address else []),
        paragraph(content.title, title),
        paragraph(content.about, about),
        *(paragraph(line, "small") for line in _around(frame)),
    ]
    code, side = paragraph(shown(frame.reference), "code"), sheet.qr_mm * MM
    table = Table([[beside, [code]]], colWidths=(sheet.inner - side, side))
    table.setStyle(
        [
            *((f"{where}PADDING", (0, 0), (-1, -1), 0) for where in ("LEFT", "TOP", "BOTTOM")),
            ("RIGHTPADDING", (0, 0), (0, 0), GAP),
            ("RIGHTPADDING", (1, 0), (1, 0), 0),
            ("TOPPADDING", (1, 0), (1, 0), side),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ]
    )
    return table


def _around(frame: Frame) -> tuple[str, ...]:
    """A label has room for when it was issued and where to check it; its notes come at its end."""
    if frame.size == PaperSize.LABEL:
        return (frame.moments[0], frame.link)
    return (*frame.moments, *frame.notes, frame.check, frame.link)


def _first_page(frame: Frame, sheet: Sheet) -> Any:
    def drawn(canvas: Any, _paper: Any) -> None:
        side = sheet.qr_mm * MM
        left, top = sheet.width - sheet.margin - side, sheet.height - sheet.margin
        draw_qr(canvas, frame.link, (left, top), fit_into(sheet.qr_mm, frame.link))
        canvas.linkURL(frame.link, (left, top - side, left + side, top), relative=0)

    return drawn


def _later_page(content: Content, frame: Frame, sheet: Sheet) -> Any:
    def drawn(canvas: Any, _paper: Any) -> None:
        left, right = sheet.margin, sheet.width - sheet.margin
        line = sheet.height - sheet.top + 4 * MM
        canvas.setFont(BOLD, SMALL_PT)
        canvas.drawString(left, line + 2 * MM, _cut(content.title, sheet.inner - 70))
        canvas.drawRightString(right, line + 2 * MM, shown(frame.reference))
        canvas.setLineWidth(0.6)
        canvas.line(left, line, right, line)

    return drawn


def _counting(frame: Frame, sheet: Sheet, *, hangs: bool) -> type:
    """A canvas that writes the foot of every page once it knows how many there are."""
    from reportlab.pdfgen.canvas import Canvas

    class Counted(Canvas):  # type: ignore[misc]
        def __init__(self, *args: Any, **kwargs: Any) -> None:
            super().__init__(*args, **kwargs)
            self._pages: list[dict[str, Any]] = []

        def showPage(self) -> None:  # noqa: N802 - reportlab calls it
            self._pages.append(dict(self.__dict__))
            self._startPage()

        def save(self) -> None:
            pages = self._pages
            for number, page in enumerate(pages, 1):
                self.__dict__.update(page)
                _foot(self, frame, sheet, (number, len(pages)), goes_on=hangs)
                super().showPage()
            super().save()

    return Counted


def _foot(
    canvas: Any, frame: Frame, sheet: Sheet, number: tuple[int, int], *, goes_on: bool
) -> None:
    line, right = sheet.foot - 5 * MM, sheet.width - sheet.margin
    page, pages = number
    canvas.setLineWidth(0.6)
    canvas.line(sheet.margin, line, right, line)
    canvas.setFont(LETTERS, SMALL_PT)
    told = _("page %(page)d of %(pages)d") % {"page": page, "pages": pages}
    if goes_on and page < pages:
        canvas.setFont(BOLD, SMALL_PT)
        hung = _("This sheet goes on: hang all %(pages)d pages.") % {"pages": pages}
        canvas.drawString(sheet.margin, line - 8 * MM, hung)
        canvas.setFont(LETTERS, SMALL_PT)
    canvas.drawRightString(right, line - 4 * MM, told)
    words = " · ".join((shown(frame.reference), frame.employer, frame.moments[0]))
    canvas.drawString(sheet.margin, line - 4 * MM, _cut(words, sheet.inner - 75))


def _cut(text: str, width: float) -> str:
    """A line made shorter until it fits."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    while text and stringWidth(text, BOLD, SMALL_PT) > width:
        text = text.rstrip("…")[:-1].rstrip() + "…"
    return text
