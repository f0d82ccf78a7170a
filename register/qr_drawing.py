"""A QR code drawn on a PDF."""

from __future__ import annotations

from typing import Any

from register.rules.qr import QUIET_MODULES, QrFit, dark_lines

MM = 72 / 25.4  # in PDF points


def draw_qr(canvas: Any, address: str, corner: tuple[float, float], fit: QrFit) -> None:
    """One path for the whole code, so that no viewer shows a seam between its rows.

    ``corner`` is the upper left corner of its quiet zone, in points. Written as PDF operators, with
    the module as the unit: reportlab's own paths format every number anew, which takes longer than
    all the rest.
    """
    quiet = QUIET_MODULES * fit.module_mm * MM
    canvas.saveState()
    canvas.setFillGray(0)
    canvas.translate(corner[0] + quiet, corner[1] - quiet)
    canvas.scale(fit.module_mm * MM, -fit.module_mm * MM)
    lines = (f"{column} {row} {length} 1 re" for column, row, length in dark_lines(address, fit))
    canvas.addLiteral("\n".join([*lines, "f"]))
    canvas.restoreState()
