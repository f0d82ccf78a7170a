"""Labels for tags on A4 sheets, as a PDF: a QR code drawn in lines, and the code in letters.

The same addresses as a list, for NFC tags.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from io import BytesIO, StringIO
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from register.lettering import BOLD, LETTERS, embed_letters
from register.models import Item, Tag
from register.qr_drawing import draw_qr
from register.refusal import Refusal
from register.rules.label_face import Box, face_of
from register.rules.label_grid import A4_HEIGHT_MM, A4_WIDTH_MM, Sheet, misfit, places
from register.rules.nfc import uri_message
from register.rules.qr import SMALLEST_MODULE_MM, QrFit, fit_into
from register.rules.tags import shown

MM = 72 / 25.4  # in PDF points
SERIAL_TAIL = 4
LARGEST_PT = 24.0
ONE_LINE_FROM_PT = 14.0  # smaller than this, the code stands in two lines
SMALL_PT = (5.0, 9.0)
SMALL_PITCH = 1.25  # of the letters, from line to line

_MISFITS = {
    "no-labels": gettext_noop("A sheet needs at least one column and one row."),
    "no-size": gettext_noop("A label needs a width and a height above 0 mm."),
    "below-zero": gettext_noop("Margins and gaps cannot be below 0 mm; %(has)g mm was given."),
    "too-wide": gettext_noop(
        "The left margin, the labels and their gaps need %(needs)g mm, and A4 is %(has)g mm wide. "
        "Take a column away, or make the labels, the gaps or the margin smaller."
    ),
    "too-high": gettext_noop(
        "The top margin, the labels and their gaps need %(needs)g mm, and A4 is %(has)g mm high. "
        "Take a row away, or make the labels, the gaps or the margin smaller."
    ),
}


@dataclass(frozen=True, slots=True)
class Label:
    """What one label says. Nothing about a person ever stands on it."""

    code: str
    secret: str
    serial_tail: str = ""
    line: str = ""


def labels_of(items: Iterable[Item]) -> list[Label]:
    """A label for each item, in their order; refuses an item whose tag is not on record."""
    wanted = list(items)
    current = Tag.objects.filter(item__in=wanted, replaced_at=None)
    secrets = dict(current.values_list("code", "secret"))
    untagged = [item.shown_code for item in wanted if item.code not in secrets]
    if untagged:
        raise Refusal(
            "no-tag",
            _("No tag is on record for %(codes)s. Give each a new tag, then print it.")
            % {"codes": ", ".join(untagged)},
        )
    return [
        Label(item.code, secrets[item.code], item.serial[-SERIAL_TAIL:], item.product.kind_name)
        for item in wanted
    ]


def address_of(label: Label) -> str:
    """The address in the QR code: capitals, which a QR code packs into fewer modules."""
    parts = urlsplit(settings.PUBLIC_URL)
    origin = f"{parts.scheme}://{parts.netloc}".upper()
    return f"{origin}{parts.path}/T/{label.code}/{label.secret}"


def nfc_list(labels: Sequence[Label]) -> str:
    """A CSV for whoever writes NFC tags: code, serial's end, address, and the bytes of the tag."""
    out = StringIO()
    rows = csv.writer(out)
    rows.writerow(["code", "serial ends", "address", "NDEF message (hex)"])
    for label in labels:
        address = address_of(label)
        tail = f"…{label.serial_tail}"  # so a spreadsheet makes no sum of '=1' and no 7 of '0007'
        rows.writerow([shown(label.code), tail, address, uri_message(address).hex(" ").upper()])
    return out.getvalue()


def lead_to_this_machine_only() -> bool:
    """Labels printed now open on this machine and on no phone."""
    host = settings.PUBLIC_HOST
    return host in {"localhost", "127.0.0.1", "::1", "0.0.0.0"} or host.endswith(".localhost")  # noqa: S104


def qr_fit(sheet: Sheet, labels: Sequence[Label]) -> QrFit:
    """The code that holds the longest address; refuses a label too small to be read."""
    longest = max((address_of(label) for label in labels), key=len)
    fit = fit_into(face_of(sheet).qr.width_mm, longest)
    if fit.readable:
        return fit
    raise Refusal(
        "label-too-small",
        _(
            "A label of %(width)g x %(height)g mm leaves %(module).2f mm for each dot of the QR "
            "code, and phones need %(needed)g mm. Choose a larger label."
        )
        % {
            "width": sheet.width_mm,
            "height": sheet.height_mm,
            "module": fit.module_mm,
            "needed": SMALLEST_MODULE_MM,
        },
    )


def refuse_sheet(sheet: Sheet, skip: int) -> None:
    """Refuse a sheet that A4 does not hold, or that has no label left."""
    problem = misfit(sheet)
    if problem:
        facts = {"needs": round(problem.needs, 1), "has": round(problem.has, 1)}
        raise Refusal(problem.code, _(_MISFITS[problem.code]) % facts)
    if not 0 <= skip < sheet.labels:
        raise Refusal(
            "no-label-left",
            _("This sheet has %(labels)d labels. Write how many are used: 0 to %(most)d.")
            % {"labels": sheet.labels, "most": sheet.labels - 1},
        )


def label_sheet(
    labels: Sequence[Label],
    sheet: Sheet,
    skip: int = 0,
    *,
    told: Callable[[int], None] = lambda _drawn: None,
) -> bytes:
    """The PDF, beginning after the first skip labels of the first sheet; ``told`` hears at each new
    page how many are drawn."""
    refuse_sheet(sheet, skip)
    if not labels:
        raise Refusal("nothing-to-print", _("Choose at least one item to print labels for."))
    embed_letters()
    style = _style(labels, sheet)
    paper = BytesIO()
    canvas = _canvas(paper)
    page = 0
    for drawn, (label, place) in enumerate(
        zip(labels, places(sheet, len(labels), skip), strict=True)
    ):
        if place.page != page:
            canvas.showPage()
            page = place.page
            told(drawn)
        canvas.saveState()
        canvas.translate(place.x_mm * MM, (A4_HEIGHT_MM - place.y_mm) * MM)
        _draw_label(canvas, label, style)
        canvas.restoreState()
    canvas.save()
    return paper.getvalue()


@dataclass(frozen=True, slots=True)
class _Style:
    """What all labels of one print have in common; sizes in points."""

    sheet: Sheet
    fit: QrFit
    qr: Box
    words: Box
    code_pt: float
    code_rows: int
    small_pt: float
    small_rows: int


def _style(labels: Sequence[Label], sheet: Sheet) -> _Style:
    """Letters as large as the widest code allows, the same on every label."""
    face = face_of(sheet)
    height = face.words.height_mm * MM
    small_rows = max(len(_small_lines(label)) for label in labels)
    small_pt = min(SMALL_PT[1], max(SMALL_PT[0], height * 0.13))
    widest = max((shown(label.code) for label in labels), key=lambda code: _width(code, BOLD))
    room = height - small_rows * small_pt * SMALL_PITCH
    rows, code_pt = _code_size(widest, face.words.width_mm * MM, room)
    fit = qr_fit(sheet, labels)
    return _Style(sheet, fit, face.qr, face.words, code_pt, rows, small_pt, small_rows)


def _canvas(paper: BytesIO) -> Any:
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(paper, pagesize=(A4_WIDTH_MM * MM, A4_HEIGHT_MM * MM), invariant=1)
    canvas.setTitle(_("Tag labels"))
    canvas.setViewerPreference("PrintScaling", "None")  # 'fit to page' would miss the labels
    return canvas


def _draw_label(canvas: Any, label: Label, style: _Style) -> None:
    """Draw with the origin at the label's upper left corner; down is below zero."""
    if style.sheet.cut:
        width, height = style.sheet.width_mm * MM, style.sheet.height_mm * MM
        canvas.setLineWidth(0.25)
        canvas.setStrokeGray(0.6)
        canvas.rect(0, -height, width, height)
    corner = (style.qr.x_mm * MM, -style.qr.y_mm * MM)
    draw_qr(canvas, address_of(label), corner, style.fit)
    _draw_words(canvas, label, style)


def _draw_words(canvas: Any, label: Label, style: _Style) -> None:
    """The code, under it the line and the serial's end, all centred."""
    box, size, code = style.words, style.code_pt, shown(label.code)
    rows = [code] if style.code_rows == 1 else code.split("-")
    small_high = style.small_rows * style.small_pt * SMALL_PITCH
    spare = box.height_mm * MM - small_high - size * len(rows)
    middle = (box.x_mm + box.width_mm / 2) * MM
    y = -box.y_mm * MM - spare / 2
    canvas.setFillGray(0)
    canvas.setFont(BOLD, size)
    for text in rows:
        canvas.drawCentredString(middle, y - 0.86 * size, text)
        y -= size
    for text in _small_lines(label):
        y -= SMALL_PITCH * style.small_pt
        _draw_small(canvas, text, (middle, y + 0.3 * style.small_pt), style)


def _small_lines(label: Label) -> list[str]:
    tail = label.serial_tail
    serial = _("Serial ends %(tail)s") % {"tail": tail} if tail else ""
    return [text for text in (label.line, serial) if text]


def _draw_small(canvas: Any, text: str, at: tuple[float, float], style: _Style) -> None:
    """A line made smaller, and at last shorter, until it fits."""
    width = style.words.width_mm * MM
    size = max(SMALL_PT[0], min(style.small_pt, width / max(_width(text, LETTERS), 0.01)))
    while text and _width(text, LETTERS) * size > width + 0.01:
        text = text.rstrip("…")[:-1].rstrip() + "…" if len(text) > 1 else ""
    canvas.setFont(LETTERS, size)
    canvas.drawCentredString(*at, text)


def _code_size(code: str, width: float, height: float) -> tuple[int, float]:
    """In how many rows the code stands, and how large: in two where its letters get too small."""
    one, two = _letters_pt([code], width, height), _letters_pt(code.split("-"), width, height)
    return (1, one) if one >= ONE_LINE_FROM_PT or one >= two else (2, two)


def _letters_pt(rows: list[str], width: float, height: float) -> float:
    widest = max(_width(row, BOLD) for row in rows)
    return max(1.0, min(LARGEST_PT, width / widest, height / len(rows)))


def _width(text: str, font: str) -> float:
    """The width of the text at a size of one point."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(stringWidth(text, font, 1))
