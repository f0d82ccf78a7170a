"""Where labels sit on an A4 sheet: the sizes on offer, whether a size fits, and every place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, NamedTuple

from register.rules.texts import gettext_noop

A4_WIDTH_MM = 210.0
A4_HEIGHT_MM = 297.0
# Makers of sheets round their sizes: 8 labels of 37.125 mm are sold as 37 and fill the sheet.
ROUNDING_MM = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A sheet of equal labels, all lengths in mm; left and top are its margins.

    cut: plain stock, so that lines to cut along are drawn.
    """

    name: str
    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    gap_x_mm: float = 0.0
    gap_y_mm: float = 0.0
    cut: bool = False

    @property
    def labels(self) -> int:
        return self.columns * self.rows

    @property
    def across_mm(self) -> float:
        """From the left edge of the paper to the right edge of the last column."""
        return self.left_mm + _run(self.columns, self.width_mm, self.gap_x_mm)

    @property
    def down_mm(self) -> float:
        """From the top edge of the paper to the lower edge of the last row."""
        return self.top_mm + _run(self.rows, self.height_mm, self.gap_y_mm)


class Place(NamedTuple):
    """One label: its page from 0, and its upper left corner from that of the paper."""

    page: int
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class Misfit:
    """Why a sheet cannot be: the code, what it needs and what there is (mm, or a count)."""

    code: Literal["no-labels", "no-size", "below-zero", "too-wide", "too-high"]
    needs: float
    has: float


# Sizes that are widely sold, and one to cut from plain stock: common practice, no source.
# fmt: off
SHEETS: dict[str, Sheet] = {
    "3x8": Sheet(name=gettext_noop("3 x 8, 70 x 37 mm"), columns=3, rows=8, width_mm=70, height_mm=37, left_mm=0, top_mm=0.5),
    "4x10": Sheet(name=gettext_noop("4 x 10, 48.5 x 25.4 mm"), columns=4, rows=10, width_mm=48.5, height_mm=25.4, left_mm=8, top_mm=21.5),
    "5x13": Sheet(name=gettext_noop("5 x 13, 38.1 x 21.2 mm"), columns=5, rows=13, width_mm=38.1, height_mm=21.2, left_mm=4.75, top_mm=10.7, gap_x_mm=2.5),
    "3x17": Sheet(name=gettext_noop("3 x 17, 60 x 16 mm, to cut: tags on a webbing tab"), columns=3, rows=17, width_mm=60, height_mm=16, left_mm=15, top_mm=12.5, cut=True),
}
# fmt: on


def misfit(sheet: Sheet) -> Misfit | None:
    """What stands in the way of this sheet on A4, the first reason only."""
    if sheet.labels < 1 or sheet.columns < 1:
        return Misfit("no-labels", 1, min(sheet.columns, sheet.rows))
    smallest = min(sheet.width_mm, sheet.height_mm)
    if smallest <= 0:
        return Misfit("no-size", 1, smallest)
    least = min(sheet.left_mm, sheet.top_mm, sheet.gap_x_mm, sheet.gap_y_mm)
    if least < 0:
        return Misfit("below-zero", 0, least)
    if sheet.across_mm > A4_WIDTH_MM + ROUNDING_MM:
        return Misfit("too-wide", sheet.across_mm, A4_WIDTH_MM)
    if sheet.down_mm > A4_HEIGHT_MM + ROUNDING_MM:
        return Misfit("too-high", sheet.down_mm, A4_HEIGHT_MM)
    return None


def places(sheet: Sheet, count: int, skip: int = 0) -> Iterator[Place]:
    """The places of so many labels, row by row, after the first skip places of the first sheet.

    ValueError where skip is not a number of labels that leaves one on the sheet.
    """
    if not 0 <= skip < sheet.labels:
        raise ValueError(f"{skip} is not in 0 to {sheet.labels - 1}")
    return (_place(sheet, number) for number in range(skip, skip + count))


def sheets_needed(sheet: Sheet, count: int, skip: int = 0) -> int:
    """How many sheets of paper; none for no labels."""
    return -(-(count + skip) // sheet.labels) if count else 0


def _place(sheet: Sheet, number: int) -> Place:
    page, on_page = divmod(number, sheet.labels)
    row, column = divmod(on_page, sheet.columns)
    x_mm = sheet.left_mm + column * (sheet.width_mm + sheet.gap_x_mm)
    y_mm = sheet.top_mm + row * (sheet.height_mm + sheet.gap_y_mm)
    return Place(page, x_mm, y_mm)


def _run(count: int, size_mm: float, gap_mm: float) -> float:
    return count * size_mm + (count - 1) * gap_mm
