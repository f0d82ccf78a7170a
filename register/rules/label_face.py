"""What goes where on one label: the QR code, and beside or below it the words."""

from __future__ import annotations

from dataclasses import dataclass

from register.rules.label_grid import A4_WIDTH_MM, Sheet

# A larger code is read no better and leaves the words no room: common practice, no source.
LARGEST_QR_MM = 32.0
# Office printers leave about so much of the paper's edge white: common practice, no source.
UNPRINTED_MM = 5.0
PAD_MM = 1.0
QR_SHARE = 0.55  # of a wide label's width
QR_SHARE_TALL = 0.66  # of a tall label's height
WIDE = 1.35  # a label so many times wider than high has its words beside the code


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on a label, in mm from the label's upper left corner."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class Face:
    """The QR code's square, its quiet zone included, and the box of the words."""

    qr: Box
    words: Box


def face_of(sheet: Sheet) -> Face:
    """The label's face: words beside the code on a wide label, below it on any other."""
    if sheet.width_mm >= WIDE * sheet.height_mm:
        return _beside(sheet)
    return _below(sheet)


def _beside(sheet: Sheet) -> Face:
    inner = _positive(sheet.height_mm - 2 * PAD_MM)
    side = min(inner, sheet.width_mm * QR_SHARE, LARGEST_QR_MM)
    left = _aside(sheet) / 2 + PAD_MM / 2  # its quiet zone may lie where nothing is printed
    words_x = left + side
    return Face(
        qr=Box(left, (sheet.height_mm - side) / 2, side, side),
        words=Box(words_x, PAD_MM, _positive(sheet.width_mm - words_x - _aside(sheet)), inner),
    )


def _below(sheet: Sheet) -> Face:
    inner = _positive(sheet.width_mm - 2 * _aside(sheet))
    side = min(inner, sheet.height_mm * QR_SHARE_TALL, LARGEST_QR_MM)
    words_y = PAD_MM + side
    return Face(
        qr=Box((sheet.width_mm - side) / 2, PAD_MM, side, side),
        words=Box(_aside(sheet), words_y, inner, _positive(sheet.height_mm - words_y - PAD_MM)),
    )


def _aside(sheet: Sheet) -> float:
    """What stays empty left and right: on every label the same, so that all look alike."""
    narrower = min(sheet.left_mm, A4_WIDTH_MM - sheet.across_mm)
    return max(PAD_MM, UNPRINTED_MM - narrower)


def _positive(length_mm: float) -> float:
    return max(0.0, length_mm)
