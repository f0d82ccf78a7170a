"""Whether a maker's serial lies in a range of serials: letters and digits, in natural order."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from register.rules.serials import serial_key

Parts = tuple[str | int, ...]
Key = tuple[tuple[int, str], ...]
Order = Callable[[Parts], Key]

_RUNS = re.compile(r"[0-9]+|[^0-9]+")
_APART = re.compile(r"[\s/\\⁄∕‐‑‒–—―−-]+")
_TO = r"to|do|through|thru"  # as people write it in the languages of the pages
_LINE = re.compile(
    rf"(?:up\s+)?(?:{_TO})\s+(?P<most>\S.*)"
    rf"|(?:(?:from|od)\s+)?(?P<begin>\S.*?)(?:\s+(?:{_TO})\s+|\s*(?:\.\.+|…)\s*|\s+[-–—]\s+)(?P<end>\S.*)"
    r"|(?:from|od)\s+(?P<least>\S.*)|(?P<one>\S.*)",
    re.IGNORECASE,
)
_SEVERAL = re.compile(
    r"[,;]|(?:^|\s)(?:and|or|until|till|from|to|through|thru|oraz|lub|albo|od|do|bis)(?:\s|$)",
    re.IGNORECASE,
)
_DIGIT, _MARK = re.compile(r"[0-9]"), re.compile(r"[^0-9]")
_LOOK_ALIKE = str.maketrans("OISB", "0158")  # a letter on a worn label, and the digit it may be
LONGEST = 60  # characters of a serial


class RangeProblem(ValueError):
    """A range that cannot be used: the code, and the line as written."""

    def __init__(self, code: str, line: str) -> None:
        super().__init__(f"{code}: {line}")
        self.code = code
        self.line = line


@dataclass(frozen=True, slots=True)
class Reading:
    """A serial as compared: its key, which marks of it are digits, its parts together and apart."""

    key: str
    pattern: str
    together: Parts
    apart: Parts


def _reading(serial: str) -> Reading:
    key = serial_key(serial)
    together = parts_of(serial, together=True)
    apart = parts_of(serial, together=False) if _APART.search(serial.strip()) else together
    return Reading(key, _MARK.sub("A", _DIGIT.sub("9", key)), together, apart)


_end = lru_cache(maxsize=2000)(_reading)  # the same few ends meet every serial


@dataclass(frozen=True, slots=True)
class SerialRange:
    """The serials from one to another, both included; '' leaves an end open."""

    begin: str
    end: str

    def __str__(self) -> str:
        if self.begin == self.end:
            return self.begin
        if not self.begin:
            return f"to {self.end}"
        return f"{self.begin} to {self.end}" if self.end else f"from {self.begin}"

    def contains(self, serial: str) -> bool | None:
        """Whether the serial is one of them; None where its way of writing leaves that open.

        Blanks, dashes and slashes may have been typed or left out, so the serial is read with its
        parts run together and apart. No is said only where no reading says otherwise, nor one that
        takes O for 0, I for 1, S for 5 or B for 8.
        """
        found = self._contains(serial)
        return None if found is False and self._may_be_misread(serial) else found

    def _contains(self, serial: str) -> bool | None:
        at, low, high = _reading(serial), *self._ends()
        if not at.key:
            return None
        if at.key in (low.key, high.key):
            return True
        together = self._read(low.together, at.together, high.together)
        is_fixed = self.begin and self.end and low.pattern == high.pattern
        if is_fixed and at.pattern == low.pattern:
            return together
        apart = self._read(low.apart, at.apart, high.apart)
        if together or apart:
            return True
        return False if together is False and apart is False else None

    def _may_be_misread(self, serial: str) -> bool:
        alike = _alike(self)
        if alike is None or (alike == self and look_alike(serial) == serial_key(serial)):
            return False
        return alike._contains(look_alike(serial)) is True  # noqa: SLF001

    def _ends(self) -> tuple[Reading, Reading]:
        return _end(self.begin or self.end), _end(self.end or self.begin)

    def _read(self, low: Parts, at: Parts, high: Parts) -> bool | None:
        if _shape(at) == _shape(low):
            inside = {self._holds(low, at, high, order) for order in (_shorter_first, _as_letters)}
            return inside.pop() if len(inside) == 1 else None
        return None if self._may_be_cut(low, high, at) else False

    def _holds(self, low: Parts, at: Parts, high: Parts, order: Order) -> bool:
        after = not self.begin or order(low) <= order(at)
        return after and (not self.end or order(at) <= order(high))

    def _may_be_cut(self, low: Parts, high: Parts, at: Parts) -> bool:
        """Written to another pattern: its number, or the end of it, may still be in the range."""
        first, last = low[-1], high[-1]
        if not isinstance(first, int) or not isinstance(last, int) or low[:-1] != high[:-1]:
            return True
        lowest = first if self.begin else 0
        highest = last if self.end else None
        tails = {
            int(str(run)[n:]) for run in at if isinstance(run, int) for n in range(len(str(run)))
        }
        return any(lowest <= tail and (highest is None or tail <= highest) for tail in tails)


def look_alike(text: str) -> str:
    """As compared, with the digit for every letter that a worn label lets pass for one."""
    return serial_key(text).translate(_LOOK_ALIKE)


@lru_cache(maxsize=2000)
def _alike(asked: SerialRange) -> SerialRange | None:
    """The range with its letters read as the digits they may be, where its ends still compare."""
    begin, end = look_alike(asked.begin), look_alike(asked.end)
    low, high = (parts_of(text, together=True) for text in (begin or end, end or begin))
    return SerialRange(begin, end) if _shape(low) == _shape(high) else None


def read_ranges(text: str) -> tuple[SerialRange, ...]:
    """One line a range or a single serial: 'A0990 to A1010', 'from A2000', 'to A0100', 'B7'."""
    return tuple(read_range(line.strip()) for line in text.splitlines() if line.strip())


def read_range(line: str) -> SerialRange:
    """The range as written, or RangeProblem: 'too-long', 'empty', 'several', 'unlike', 'reversed'.

    A line that holds more than one serial in any other way is refused: taken for a single serial it
    would hold nothing.
    """
    if len(line) > 2 * LONGEST:
        raise RangeProblem("too-long", line[:LONGEST])
    found = _LINE.fullmatch(line)
    if found is None:
        raise RangeProblem("empty", line)
    one = found["one"] or ""
    asked = SerialRange(
        found["begin"] or found["least"] or one, found["end"] or found["most"] or one
    )
    if _SEVERAL.search(asked.begin) or _SEVERAL.search(asked.end):
        raise RangeProblem("several", line)
    return sound(asked)


def sound(asked: SerialRange) -> SerialRange:
    """The range itself, or RangeProblem where its ends cannot be compared or stand in reverse."""
    if not serial_key(asked.begin) and not serial_key(asked.end):
        raise RangeProblem("empty", str(asked))
    if not asked.begin or not asked.end:
        return asked
    low, high = (parts_of(text, together=True) for text in (asked.begin, asked.end))
    if not low or _shape(low) != _shape(high):
        raise RangeProblem("unlike", str(asked))
    if _shorter_first(low) > _shorter_first(high):
        raise RangeProblem("reversed", str(asked))
    return asked


def parts_of(serial: str, *, together: bool) -> Parts:
    """Letters and numbers in turn: 'HT-04 0990' is HT, 40990 together and HT, 4, 990 apart."""
    plain = unicodedata.normalize("NFKC", serial).upper()
    pieces = [plain] if together else _APART.split(plain)
    runs = [run for piece in pieces for run in _RUNS.findall(serial_key(piece))]
    return tuple(int(run) if run.isascii() and run.isdigit() else run for run in runs)


def _shape(parts: Parts) -> tuple[bool, ...]:
    return tuple(isinstance(part, int) for part in parts)


def _shorter_first(parts: Parts) -> Key:
    """Z comes before AA, as makers count."""
    return tuple((part, "") if isinstance(part, int) else (len(part), part) for part in parts)


def _as_letters(parts: Parts) -> Key:
    """AA comes between A and B, as in a dictionary."""
    return tuple((part, "") if isinstance(part, int) else (0, part) for part in parts)
