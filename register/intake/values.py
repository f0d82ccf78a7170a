"""From one cell to one value: what it says, or why it cannot be believed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Generic, TypeVar

from register.intake.reading import Cell

T = TypeVar("T")

# A number in a workbook is exact to 15 digits; what comes after has been made up by the program.
_EXACT_DIGITS = 15
# '3E12' typed into a cell becomes 3000000000000. Five or more zeros at the end of a number are
# taken for that: counting up to a round hundred thousand is rarer than a mark with an E in it.
_EATEN_ZEROS = 5
_EXPONENT = re.compile(r"\d+(?:[.,]\d+)?E\+\d+", re.IGNORECASE)
_ROUND_DECIMAL = re.compile(r"(\d+)[.,]0+")
_NUMBER = re.compile(r"(\d+(?:[.,]\d+)?)\s*([a-z]*)\.?", re.IGNORECASE)
# '="000412"' and "'000412": how people make a program leave a text alone.
_FORCED_TEXT = re.compile(r"""^(?:="(.*)"|'(\d.*))$""")
_UNSEEN = dict.fromkeys([*range(9), *range(14, 28), *range(0x7F, 0x85), *range(0x86, 0xA0)])
_UNSEEN |= dict.fromkeys([0xAD, 0x61C, 0x200B, 0x200E, 0x200F, 0x2060, 0xFEFF])
_UNSEEN |= dict.fromkeys([*range(0x202A, 0x202F), *range(0x2066, 0x206A)])
_NOTHING = frozenset(
    {"-", "–", "—", ".", "?", "??", "n/a", "na", "none", "nil", "unknown", "unreadable"}
    | {
        "illegible",
        "tbc",
        "tba",
        "missing",
        "brak",
        "nieznany",
        "nieznane",
        "nie dotyczy",
        "nieczytelny",
    }
)
_METRES = {"": 1.0, "m": 1.0, "mtr": 1.0, "metre": 1.0, "metres": 1.0, "meter": 1.0, "cm": 0.01}
_METRES |= {"mm": 0.001, "ft": 0.3048}
_KILOGRAMS = {"": 1.0, "kg": 1.0, "kgs": 1.0, "kilo": 1.0, "t": 1000.0, "lb": 0.45359237}
_KILOGRAMS |= {"lbs": 0.45359237}


@dataclass(frozen=True, slots=True)
class Value(Generic[T]):
    """What a cell says. problem: code of why the row must stay out; note: code of a warning."""

    value: T
    problem: str = ""
    note: str = ""
    fact: str = ""


def text_of(cell: Cell) -> str:
    """The cell as people see it, on one line; a number without the '.0' it was stored with.

    Marks nobody sees are left out: controls, and those that turn the direction of writing round.
    """
    if cell is None:
        return ""
    if isinstance(cell, str):
        return _FORCED_TEXT.sub(r"\1\2", " ".join(cell.translate(_UNSEEN).split()))
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < 1e16:  # noqa: PLR2004
        return str(int(cell))
    if isinstance(cell, datetime):
        return cell.date().isoformat()
    return cell.isoformat() if isinstance(cell, date) else str(cell)


def stated(cell: Cell) -> str:
    """The text, or '' where it only says that nothing is known ('-', 'n/a', '?')."""
    text = text_of(cell)
    return "" if text.casefold() in _NOTHING else text


def serial_of(cell: Cell) -> Value[str]:
    """The serial as marked, or why the cell cannot be trusted to be what is marked.

    A number is not a serial: it has lost its leading zeros, its E and its last digits. Where that
    shows in the number itself the row stays out; where only the other serials of the product show
    it, the plan finds it (`serial-zeros-lost`). A text '3E12' is a mark like any other, and noted,
    because the next program to open the file may eat it.
    """
    if isinstance(cell, date):
        return Value("", "serial-is-a-date", fact=text_of(cell))
    if isinstance(cell, int | float):
        return _serial_from_number(cell)
    text = stated(cell)
    if not text:
        return Value("", "serial-missing")
    if _EXPONENT.fullmatch(text):
        return Value("", "serial-eaten", fact=text)
    if _ROUND_DECIMAL.fullmatch(text):
        return Value("", "serial-with-decimals", fact=text)
    looks_eaten = re.fullmatch(r"\d+E\d+", text, re.IGNORECASE)
    return Value(text, note="serial-like-exponent" if looks_eaten else "")


def _serial_from_number(number: float) -> Value[str]:
    if number <= 0 or number != int(number):
        return Value("", "serial-with-decimals", fact=f"{number:g}")
    digits = str(int(number))
    if len(digits) > _EXACT_DIGITS:
        return Value("", "serial-too-long", fact=digits)
    if len(digits) - len(digits.rstrip("0")) >= _EATEN_ZEROS:
        return Value("", "serial-eaten", fact=digits)
    return Value(digits, note="serial-was-number")


def length_of(cell: Cell) -> Value[Decimal | None]:
    """Metres."""
    return _measure(cell, _METRES, "length-unreadable", 2)


def mass_of(cell: Cell) -> Value[Decimal | None]:
    """Kilograms; a limit is never rounded up."""
    return _measure(cell, _KILOGRAMS, "mass-unreadable", 1)


def _measure(cell: Cell, units: dict[str, float], code: str, places: int) -> Value[Decimal | None]:
    """A measure that cannot be read is left blank with a note: no row stays out for it."""
    text = stated(cell)
    if not text:
        return Value(None)
    found = _NUMBER.fullmatch(text)
    factor = units.get(found[2].lower()) if found else None
    if found is None or factor is None:
        return Value(None, note=code, fact=text)
    amount = Decimal(found[1].replace(",", ".")) * Decimal(str(factor))
    return Value(amount.quantize(Decimal(1).scaleb(-places), rounding="ROUND_DOWN"))
