"""The letters of every paper: one family, put into the file, with Polish, Greek and Cyrillic.

The fonts that every PDF reader has by itself lack them.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Final

LETTERS: Final = "Roboto"
BOLD: Final = "Roboto-Bold"


@cache
def embed_letters() -> None:
    """Make LETTERS and BOLD known to reportlab; call it before anything is measured or drawn."""
    import font_roboto
    from reportlab.pdfbase.pdfmetrics import registerFont, registerFontFamily
    from reportlab.pdfbase.ttfonts import TTFont

    files = Path(font_roboto.__file__).parent / "files"
    for name, file in ((LETTERS, "Roboto-Regular.ttf"), (BOLD, "Roboto-Bold.ttf")):
        registerFont(TTFont(name, str(files / file)))
    registerFontFamily(LETTERS, normal=LETTERS, bold=BOLD, italic=LETTERS, boldItalic=BOLD)
