"""What goes where on one label: the QR code, and beside or below it the words."""

from __future__ import annotations

from dataclasses import dataclass

from register.rules.label_grid import A4_WIDTH_MM, Sheet

QUIET_MODULES = 4  # white on every side of a QR code, ISO/IEC 18004
# Below this a phone held over a worn label begins to fail: common practice, no source.
SMALLEST_MODULE_MM = 0.33
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


def modules_per_side(version: int) -> int:
    """The modules along one side of a QR code without its quiet zone, ISO/IEC 18004."""
    return 17 + 4 * version


def module_mm(version: int, side_mm: float) -> float:
    """The width of one module where the code with its quiet zone is so wide."""
    return side_mm / (modules_per_side(version) + 2 * QUIET_MODULES)


def face_of(sheet: Sheet) -> Face:
    """The label's face: words beside the code on a wide label, below it on any other."""
    if sheet.width_mm >= WIDE * sheet.height_mm:
        return _beside(sheet)
    return _below(sheet)


def _beside(sheet: Sheet) -> Face:
    aside = max(PAD_MM, (UNPRINTED_MM - _narrower_margin(sheet)) / 2)
    inner = sheet.height_mm - 2 * PAD_MM
    side = max(0.0, min(inner, sheet.width_mm * QR_SHARE, LARGEST_QR_MM))
    words_x = aside + side
    return Face(
        qr=Box(aside, (sheet.height_mm - side) / 2, side, side),
        words=Box(words_x, PAD_MM, max(0.0, sheet.width_mm - 2 * aside - side), max(0.0, inner)),
    )


def _below(sheet: Sheet) -> Face:
    aside = max(PAD_MM, (UNPRINTED_MM - _narrower_margin(sheet)) / 2)
    inner = sheet.width_mm - 2 * aside
    side = max(0.0, min(inner, sheet.height_mm * QR_SHARE_TALL, LARGEST_QR_MM))
    words_y = PAD_MM + side
    return Face(
        qr=Box((sheet.width_mm - side) / 2, PAD_MM, side, side),
        words=Box(aside, words_y, max(0.0, inner), max(0.0, sheet.height_mm - words_y - PAD_MM)),
    )


def _narrower_margin(sheet: Sheet) -> float:
    return min(sheet.left_mm, A4_WIDTH_MM - sheet.across_mm)
