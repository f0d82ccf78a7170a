"""QR codes for labels: how fine a code gets in a square, and its dark modules as lines."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import Any

QUIET_MODULES = 4  # white on every side, ISO/IEC 18004
# Below this a phone held over a worn label begins to fail: common practice, no source.
SMALLEST_MODULE_MM = 0.33
# Q restores about 25 % of a worn code, M 15 % (ISO/IEC 18004): M only where Q gets too fine.
LEVELS = ("Q", "M")
# Readers take any of the eight masks. Looking for the best one costs eleven times the time.
MASK = 0


@dataclass(frozen=True, slots=True)
class QrFit:
    """The error level, the version and the width of one module in the square it was fitted to."""

    level: str
    version: int
    module_mm: float

    @property
    def modules(self) -> int:
        return modules_per_side(self.version)

    @property
    def readable(self) -> bool:
        return self.module_mm >= SMALLEST_MODULE_MM


def modules_per_side(version: int) -> int:
    """The modules along one side without the quiet zone, ISO/IEC 18004."""
    return 17 + 4 * version


def side_mm(version: int, module_mm: float) -> float:
    """One side of a code with its quiet zone."""
    return (modules_per_side(version) + 2 * QUIET_MODULES) * module_mm


def fit_into(square_mm: float, text: str) -> QrFit:
    """The code for the text that fills the square: the first level that is readable, or the last.

    Text of capitals, digits and ' $%*+-./:' needs fewer modules than any other.
    """
    fits = []
    for level in LEVELS:
        version = int(_code(text, level, None).best_fit())
        fits.append(QrFit(level, version, square_mm / side_mm(version, 1)))
    return next((fit for fit in fits if fit.readable), fits[-1])


def dark_lines(text: str, fit: QrFit) -> list[tuple[int, int, int]]:
    """Column, row and length of each line of dark modules; the quiet zone is not counted."""
    code = _code(text, fit.level, fit.version)
    code.make(fit=False)
    return [
        (start, row, length)
        for row, modules in enumerate(code.modules)
        for start, length in _runs(modules)
    ]


def _runs(modules: list[bool]) -> list[tuple[int, int]]:
    runs, at = [], 0
    for dark, same in groupby(modules):
        length = len(list(same))
        if dark:
            runs.append((at, length))
        at += length
    return runs


def _code(text: str, level: str, version: int | None) -> Any:
    import qrcode
    from qrcode import constants

    levels = {"Q": constants.ERROR_CORRECT_Q, "M": constants.ERROR_CORRECT_M}
    code = qrcode.QRCode(version=version, error_correction=levels[level], mask_pattern=MASK)
    code.add_data(text, optimize=0)
    return code
