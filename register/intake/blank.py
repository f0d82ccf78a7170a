"""An empty workbook for people who would rather fill one in than have theirs understood."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO

from django.utils.translation import gettext as _

_WIDE = 24


def blank_workbook(columns: Sequence[tuple[str, str]]) -> bytes:
    """An .xlsx: the headings on one sheet with every cell set to text, what to write on another.

    Text, so that no program eats the zeros of a serial or turns 03/04 round.
    """
    import xlsxwriter

    target = BytesIO()
    with xlsxwriter.Workbook(target) as book:
        text, bold = book.add_format({"num_format": "@"}), book.add_format({"bold": True})
        page = book.add_worksheet(_("Lines"))
        page.set_column(0, len(columns) - 1, _WIDE, text)
        page.freeze_panes(1, 0)
        help_page = book.add_worksheet(_("What to write"))
        help_page.set_column(0, 0, _WIDE)
        help_page.set_column(1, 1, 4 * _WIDE)
        for place, (name, words) in enumerate(columns):
            page.write_string(0, place, name, bold)
            help_page.write_string(place, 0, name, bold)
            help_page.write_string(place, 1, words)
    return target.getvalue()
