"""The house's paper: the head with employer and QR code, the foot on every page, 'page x of y'.

Black on white alone. Nothing is smaller than 8 points.
"""

from __future__ import annotations

from collections.abc import Sequence
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

MARGIN = 17 * MM
FOOT = 20 * MM
TOP = 19 * MM  # of the pages after the first
QR_MM = 31.0
GAP = 5 * MM


def pdf_of(content: Content, frame: Frame) -> bytes:
    """The paper as a PDF, not sealed yet."""
    embed_letters()
    out = BytesIO()
    paper = _paper(out, content, frame)
    head = _head(content, frame, paper.width - QR_MM * MM - GAP)
    paper.build(
        [*head, *flowables(content.blocks, paper.width)], canvasmaker=_counting(frame, content)
    )
    return out.getvalue()


def page_size(size: str) -> tuple[float, float]:
    """Width and height in points."""
    from reportlab.lib.pagesizes import A4, LETTER

    width, height = LETTER if size == PaperSize.LETTER else A4
    return float(width), float(height)


def _paper(out: BytesIO, content: Content, frame: Frame) -> Any:
    from reportlab.platypus import BaseDocTemplate, PageTemplate
    from reportlab.platypus import Frame as Area

    width, height = page_size(frame.size)
    inner = width - 2 * MARGIN
    none = dict.fromkeys(("leftPadding", "rightPadding", "topPadding", "bottomPadding"), 0)
    first = Area(MARGIN, FOOT, inner, height - FOOT - MARGIN, id="first", **none)
    later = Area(MARGIN, FOOT, inner, height - FOOT - TOP, id="later", **none)
    paper = BaseDocTemplate(
        out,
        pagesize=(width, height),
        leftMargin=MARGIN,
        rightMargin=MARGIN,
        title=f"{content.title}, {shown(frame.reference)}",
        subject=content.about,
        author=frame.employer,
        creator="Tallyhook",
        lang=frame.language,
    )
    paper.addPageTemplates(
        [
            PageTemplate("first", [first], onPage=_first_page(frame), autoNextPageTemplate="later"),
            PageTemplate("later", [later], onPage=_later_page(content, frame)),
        ]
    )
    return paper


def _head(content: Content, frame: Frame, width: float) -> Sequence[Any]:
    """The words beside the QR code; what follows begins beneath both."""
    from reportlab.platypus import Table

    beside = [
        paragraph(frame.employer, "strong"),
        *([paragraph(frame.address, "small")] if frame.address else []),
        paragraph(content.title, "title"),
        paragraph(content.about, "plain"),
        *(paragraph(line, "small") for line in (*frame.moments, *frame.notes)),
        paragraph(frame.check, "small"),
        paragraph(frame.link, "small"),
    ]
    code = paragraph(shown(frame.reference), "code")
    table = Table([[beside, code]], colWidths=(width + GAP, QR_MM * MM))
    table.setStyle(
        [
            *((f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "TOP", "BOTTOM")),
            ("RIGHTPADDING", (0, 0), (0, 0), GAP),
            ("RIGHTPADDING", (1, 0), (1, 0), 0),
            ("TOPPADDING", (1, 0), (1, 0), QR_MM * MM),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ]
    )
    return [table]


def _first_page(frame: Frame) -> Any:
    def drawn(canvas: Any, _paper: Any) -> None:
        width, height = page_size(frame.size)
        left, top = width - MARGIN - QR_MM * MM, height - MARGIN
        draw_qr(canvas, frame.link, (left, top), fit_into(QR_MM, frame.link))
        corners = (left, top - QR_MM * MM, left + QR_MM * MM, top)
        canvas.linkURL(frame.link, corners, relative=0)

    return drawn


def _later_page(content: Content, frame: Frame) -> Any:
    def drawn(canvas: Any, _paper: Any) -> None:
        width, height = page_size(frame.size)
        canvas.setFont(BOLD, SMALL_PT)
        canvas.drawString(MARGIN, height - 13 * MM, _cut(content.title, width - 2 * MARGIN - 70))
        canvas.drawRightString(width - MARGIN, height - 13 * MM, shown(frame.reference))
        canvas.setLineWidth(0.6)
        canvas.line(MARGIN, height - 15 * MM, width - MARGIN, height - 15 * MM)

    return drawn


def _counting(frame: Frame, content: Content) -> type:
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
                _foot(self, frame, (number, len(pages)), goes_on=content.hangs)
                super().showPage()
            super().save()

    return Counted


def _foot(canvas: Any, frame: Frame, number: tuple[int, int], *, goes_on: bool) -> None:
    width, _height = page_size(frame.size)
    page, pages = number
    canvas.setLineWidth(0.6)
    canvas.line(MARGIN, 15 * MM, width - MARGIN, 15 * MM)
    canvas.setFont(LETTERS, SMALL_PT)
    told = _("page %(page)d of %(pages)d") % {"page": page, "pages": pages}
    if goes_on and page < pages:
        canvas.setFont(BOLD, SMALL_PT)
        hung = _("This sheet goes on: hang all %(pages)d pages.") % {"pages": pages}
        canvas.drawString(MARGIN, 7 * MM, hung)
        canvas.setFont(LETTERS, SMALL_PT)
    canvas.drawRightString(width - MARGIN, 11 * MM, told)
    line = " · ".join((shown(frame.reference), frame.employer, frame.moments[0]))
    canvas.drawString(MARGIN, 11 * MM, _cut(line, width - 2 * MARGIN - 75))


def _cut(text: str, width: float) -> str:
    """A line made shorter until it fits."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    while text and stringWidth(text, BOLD, SMALL_PT) > width:
        text = text.rstrip("…")[:-1].rstrip() + "…"
    return text
