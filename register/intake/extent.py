"""How far the cells of a sheet reach, counted before a reader lays them out as one full rectangle."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from xml.parsers import expat

from register.intake.unreadable import Unreadable

MAX_ROWS = 300_000
MAX_COLUMNS = 256
MAX_CELLS = 8_000_000  # filled and empty together; about 30 bytes each while they are read

_MANY = 1_000_000_000
_BASE = 26

# A cell with something in it: '<c r="JX3">', not '<c r="JX3"/>'. No '<' within, so that text
# which only begins like a cell is passed over in one go.
_CELL = re.compile(
    rb"""<(?:\w{1,20}:)?c\s(?:[^<>]*?\s)?r=["']([A-Z]{1,7})(\d{1,7})["'][^<>]*(?<!/)>"""
)
_UNPLACED = re.compile(rb"""<(?:\w{1,20}:)?c(?:>|\s(?![^<>]*\br=)[^<>]*(?<!/)>)""")


@dataclass(slots=True)
class Extent:
    """The last line and column that hold something, both from 1."""

    rows: int = 0
    columns: int = 0

    def reach(self, row: int, column: int) -> None:
        self.rows, self.columns = max(self.rows, row), max(self.columns, column)

    def refuse_too_far(self) -> None:
        """Raise Unreadable where the rectangle is more than can be laid out."""
        if self.columns > MAX_COLUMNS:
            raise Unreadable("too-wide", {"most": MAX_COLUMNS})
        if self.rows > MAX_ROWS:
            raise Unreadable("too-long", {"most": MAX_ROWS})
        if self.rows * self.columns > MAX_CELLS:
            facts = {"rows": self.rows, "columns": self.columns, "most": MAX_CELLS // 1_000_000}
            raise Unreadable("too-many-cells", facts)


def places_of(piece: bytes, extent: Extent) -> None:
    """Take in the cells of a piece of an .xlsx sheet that say where they stand."""
    found = _CELL.findall(piece)
    for letters in {letters for letters, _digits in found}:
        extent.reach(0, _column(letters))
    if found:
        extent.reach(max(int(digits) for _letters, digits in found), 0)


def has_unplaced(piece: bytes) -> bool:
    """Whether a cell does not say where it stands: then all have to be counted one by one."""
    return _UNPLACED.search(piece) is not None


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * _BASE + letter - ord("A") + 1
    return number


class _Counter:
    """Counts the elements of one part; stops as soon as there are too many of them."""

    def __init__(self) -> None:
        self.extent = Extent()
        self.elements = 0
        self.row = self.column = 0
        self.parser = expat.ParserCreate()
        self.parser.StartElementHandler = self.begin
        self.parser.EndElementHandler = self.end

    def read(self, chunks: Iterable[bytes]) -> Extent:
        try:
            for chunk in chunks:
                self.parser.Parse(chunk, False)
        except expat.ExpatError as error:
            raise Unreadable("damaged") from error
        return self.extent

    def begin(self, name: str, attributes: dict[str, str]) -> None:
        self.elements += 1
        if self.elements > MAX_CELLS:
            raise Unreadable(
                "too-many-cells", {"rows": self.row, "columns": self.column, "most": 8}
            )
        self.take(name.rpartition(":")[2], attributes)

    def take(self, name: str, attributes: dict[str, str]) -> None:
        raise NotImplementedError

    def end(self, name: str) -> None:
        """Nothing, but for what counts whole rows."""


class _Unplaced(_Counter):
    """An .xlsx sheet whose cells follow one another without saying where they stand."""

    def take(self, name: str, attributes: dict[str, str]) -> None:
        if name == "row":
            self.row = _number(attributes.get("r", "")) or self.row + 1
            self.column = 0
        elif name == "c":
            self.column += 1
            place = re.match(r"([A-Z]{1,7})(\d{1,9})", attributes.get("r", ""))
            if place:
                self.column, self.row = _column(place[1].encode()), int(place[2])
            self.extent.reach(self.row, self.column)
            self.extent.refuse_too_far()


class _Repeated(_Counter):
    """The sheets of an .ods, where equal cells and equal rows stand once, with a count."""

    def __init__(self) -> None:
        super().__init__()
        self.filled = 0
        self.times = 1

    def take(self, name: str, attributes: dict[str, str]) -> None:
        if name == "table":
            self.row = 0
        elif name == "table-row":
            self.times = _number(attributes.get("table:number-rows-repeated", "")) or 1
            self.column = self.filled = 0
        elif name in {"table-cell", "covered-table-cell"}:
            self.column += _number(attributes.get("table:number-columns-repeated", "")) or 1
            if any(key.endswith(":value-type") for key in attributes):
                self.filled = self.column

    def end(self, name: str) -> None:
        if name.endswith(":table-row"):
            self.row += self.times
            if self.filled:
                self.extent.reach(self.row, self.filled)
                self.extent.refuse_too_far()
        elif name.endswith(":table"):
            self.extent = Extent()


def _number(text: str) -> int:
    """A count as written; what is longer than any sheet is simply many."""
    if not text.isascii() or not text.isdigit():
        return 0
    return int(text) if len(text) < 10 else _MANY  # noqa: PLR2004


def count_unplaced(chunks: Iterable[bytes]) -> None:
    """Refuse an .xlsx sheet that reaches too far, each cell counted."""
    _Unplaced().read(chunks)


def count_repeated(chunks: Iterable[bytes]) -> None:
    """Refuse an .ods in which a sheet reaches too far."""
    _Repeated().read(chunks)
