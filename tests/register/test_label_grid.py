"""The sheet and the QR code of labels: what fits, where each label sits, how fine the dots get."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from register.rules.label_grid import SHEETS, Misfit, Place, Sheet, misfit, places, sheets_needed
from register.rules.qr import fit_into, modules_per_side, side_mm

SQUARE = Sheet(
    name="", columns=4, rows=5, width_mm=45, height_mm=50, left_mm=10, top_mm=10, gap_x_mm=2
)


# The grid


def test_every_sheet_on_offer_fits_a4() -> None:
    assert {slug: misfit(sheet) for slug, sheet in SHEETS.items()} == dict.fromkeys(SHEETS)


def test_labels_go_row_by_row_and_on_to_the_next_page() -> None:
    sheet = Sheet(
        name="",
        columns=2,
        rows=2,
        width_mm=50,
        height_mm=30,
        left_mm=10,
        top_mm=20,
        gap_x_mm=5,
        gap_y_mm=1,
    )
    assert list(places(sheet, 4, skip=1)) == [
        Place(0, 65, 20),
        Place(0, 10, 51),
        Place(0, 65, 51),
        Place(1, 10, 20),
    ]


@pytest.mark.parametrize(
    ("count", "skip", "sheets"), [(0, 3, 0), (1, 23, 1), (24, 0, 1), (24, 1, 2), (49, 0, 3)]
)
def test_the_number_of_sheets_counts_the_part_used_one(count: int, skip: int, sheets: int) -> None:
    assert sheets_needed(SHEETS["3x8"], count, skip) == sheets


@pytest.mark.parametrize(
    ("change", "problem"),
    [
        ({"columns": 5}, Misfit("too-wide", 10 + 5 * 45 + 4 * 2, 210)),
        ({"rows": 6}, Misfit("too-high", 10 + 6 * 50, 297)),
        ({"left_mm": 24.2}, Misfit("too-wide", 24.2 + 4 * 45 + 3 * 2, 210)),
        ({"columns": 0}, Misfit("no-labels", 1, 0)),
        ({"height_mm": 0}, Misfit("no-size", 1, 0)),
        ({"gap_y_mm": -1}, Misfit("below-zero", 0, -1)),
    ],
)
def test_a_sheet_that_does_not_fit_is_told_with_its_figures(
    change: dict[str, Any], problem: Misfit
) -> None:
    assert misfit(replace(SQUARE, **change)) == problem


def test_a_sheet_that_fills_the_paper_fits_and_makers_may_round_a_size() -> None:
    assert misfit(replace(SQUARE, left_mm=24)) is None
    assert misfit(replace(SQUARE, left_mm=24.1)) is None
    assert misfit(replace(SQUARE, rows=5, height_mm=57.4)) is None


# The QR code


@pytest.mark.parametrize(("version", "modules"), [(1, 21), (2, 25), (3, 29), (4, 33), (5, 37)])
def test_a_qr_code_has_17_modules_and_4_for_each_version(version: int, modules: int) -> None:
    assert modules_per_side(version) == modules  # ISO/IEC 18004


@pytest.mark.parametrize(("version", "side"), [(3, 18.5), (4, 20.5)])
def test_a_qr_code_needs_four_modules_of_white_on_each_side(version: int, side: float) -> None:
    assert side_mm(version, 0.5) == side  # (17 + 4 version + 2 x 4) x 0.5 mm, ISO/IEC 18004


@pytest.mark.parametrize(
    ("marks", "level", "version"),
    [(47, "Q", 3), (48, "Q", 4), (67, "Q", 4), (68, "Q", 5)],  # alphanumeric, ISO/IEC 18004 table 7
)
def test_capitals_and_digits_take_the_smallest_code(marks: int, level: str, version: int) -> None:
    fit = fit_into(30, "HTTPS://".ljust(marks, "7"))
    assert (fit.level, fit.version) == (level, version)


def test_a_code_gets_coarser_before_it_gets_too_fine_to_read() -> None:
    text = "7" * 10 + "A" * 45  # version 4 at Q, version 3 at M
    assert fit_into(14, text).level == "Q"
    narrow = fit_into(13, text)
    assert (narrow.level, narrow.version, narrow.readable) == ("M", 3, True)
    assert not fit_into(12, text).readable
