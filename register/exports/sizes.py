"""What a sheet of a workbook can hold, and how wide its columns are drawn."""

from __future__ import annotations

import re

from register.exports.columns import Column, Kind

MOST_ROWS = 1_048_575  # 2^20 with the head: what XLSX readers and ODS readers hold
LONGEST_CELL = 32_767  # characters in one cell of XLSX; ODS is held to the same
LONGEST_NAME = 31  # characters in a sheet's name
WIDTHS = {Kind.TEXT: 28, Kind.CODE: 16, Kind.NUMBER: 10, Kind.DAY: 12, Kind.MOMENT: 17}
_BARRED = re.compile(r"[\[\]:*?/\\]")
_NOT_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff\ud800-\udfff]")


def sheet_name(title: str) -> str:
    """The title without what a sheet's name may not have."""
    return _BARRED.sub(" ", title).strip(" '")[:LONGEST_NAME].strip(" '") or "-"


def shortened(text: str, most: int = LONGEST_CELL) -> str:
    """No longer than a cell holds, with dots where something is missing; signs no XML has are told by �."""
    tame = _NOT_IN_XML.sub("\ufffd", text)
    return tame if len(tame) <= most else tame[: most - 1] + "…"


def width_of(column: Column) -> int:
    """In letters: by its kind, and never less than a word of its title needs."""
    words = [len(word) for word in str(column.title).split()]
    return max(WIDTHS.get(column.kind, 10), *words, 0) + 2
