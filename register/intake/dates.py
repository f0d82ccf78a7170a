"""Reads a day, week, month or year as people type it; what could be two days is never guessed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import Literal

from register.intake.reading import Cell
from register.intake.values import Value, stated
from register.rules.lifespan import UNKNOWN_SPAN, DateSpan, span_of

Order = Literal["day-first", "month-first", "ambiguous", "mixed", "plain"]

_EPOCH = date(1899, 12, 30)  # day 0 of workbook day numbers, the error of 1900 allowed for
_DAY_NUMBERS = range(18264, 73051)  # 1950 to 2099
_YEARS = range(1950, 2100)
_CENTURY = 70  # '69 is 2069, '70 is 1970: the POSIX rule; a day ahead is refused later anyway
_MONTHS_IN_YEAR = 12
_FEW_REAL = 20

# fmt: off
_MONTH_WORDS: dict[str, int] = {
    word: number
    for number, words in enumerate((
        "jan january januar janvier sty styczen stycznia i",
        "feb february februar fevrier febr lut luty lutego ii",
        "mar march marz mrz maerz mars marzec marca iii",
        "apr april avril kwi kwiecien kwietnia iv", "may mai maj maja v",
        "jun june juni juin cze czerwiec czerwca vi", "jul july juli juillet lip lipiec lipca vii",
        "aug august aout sie sierpien sierpnia viii",
        "sep sept september septembre wrz wrzesien wrzesnia ix",
        "oct october okt oktober octobre paz pazdziernik pazdziernika x",
        "nov november novembre lis listopad listopada xi",
        "dec december dez dezember decembre gru grudzien grudnia xii",
    ), start=1)
    for word in words.split()
}
_UNKNOWN_WORDS = (
    "unknown", "not known", "not marked", "no date", "illegible", "worn", "not legible",
    "nieznan", "nieczyteln", "brak", "nie wiadomo", "starte",
)
# fmt: on
_WEEK_WORDS = frozenset({"w", "wk", "week", "kw", "cw", "tydz", "tydzien", "tyg"})
_CLOCK = re.compile(r"[t ]\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?z?$")
_WEEKDAY = re.compile(
    r"^(?:(?:mon|tue|tues|wed|weds|thu|thur|thurs|fri|sat|sun)(?:day|nesday|sday|rsday|urday)?"
    r"|pon(?:iedzialek)?|wt(?:orek)?|sr(?:oda)?|czw(?:artek)?|pt|piatek|sob(?:ota)?|nd|niedz(?:iela)?)"
    r"[.,]* "
)
_YEAR_WORD = re.compile(r"(?<=\d)\s*(?:r\.?|roku)$")  # '12 marca 2026 r.'
_ORDINAL = re.compile(r"(\d)(?:st|nd|rd|th)\b")
_PARTS = re.compile(r"\d+|[a-z]+")
_BETWEEN = re.compile(r"[\s./,\\\-–']*")
_SLASHED = re.compile(r"\s*(\d{1,2})\s*[./\-–\s]\s*(\d{1,2})\s*[./\-–\s]\s*(\d{4}|\d{2})\b")


class _Unclear(ValueError):
    """Could be two things; args[0] is the problem's code."""


@dataclass(slots=True)
class DateTally:
    """What the dates of one file tell about its order of day and month; fed cell by cell."""

    day_first: int = 0
    month_first: int = 0
    either: int = 0
    real: int = 0
    real_after_12th: int = 0

    def see(self, cell: Cell) -> None:
        if isinstance(cell, date):
            self.real += 1
            self.real_after_12th += cell.day > _MONTHS_IN_YEAR
        elif isinstance(cell, str) and (found := _SLASHED.match(cell)):
            self._weigh(int(found[1]), int(found[2]))

    def _weigh(self, one: int, two: int) -> None:
        if one == two:
            return
        if one > _MONTHS_IN_YEAR >= two:
            self.day_first += 1
        elif two > _MONTHS_IN_YEAR >= one:
            self.month_first += 1
        elif max(one, two) <= _MONTHS_IN_YEAR:
            self.either += 1

    @property
    def order(self) -> Order:
        """'plain': no date in the file needs the question; 'ambiguous' and 'mixed': ask."""
        if self.day_first and self.month_first:
            return "mixed"
        if self.day_first:
            return "day-first"
        if self.month_first:
            return "month-first"
        return "ambiguous" if self.either else "plain"

    @property
    def may_be_swapped(self) -> bool:
        """Many true dates, none after the 12th, beside typed days after the 12th.

        So it looks when a program of the other order took 03/04 for a date and left 25/03 as text.
        """
        texts = self.day_first + self.month_first
        return texts > 0 and self.real >= _FEW_REAL and self.real_after_12th == 0


def date_order(cells: Iterable[Cell]) -> Order:
    """The order in which one file writes day and month, from the dates that can be only one."""
    tally = DateTally()
    for cell in cells:
        tally.see(cell)
    return tally.order


def date_of(cell: Cell, order: str = "") -> Value[DateSpan]:
    """The span a cell means, with its precision; problem codes begin with 'date-'.

    `order` is 'day-first' or 'month-first' once known or asked; with anything else a date such as
    03/04/2026 is a problem, not a guess. A blank cell is the unknown span, without a problem.
    """
    if isinstance(cell, datetime):
        return _checked(span_of("day", cell.year, month=cell.month, day=cell.day), str(cell.date()))
    if isinstance(cell, date):
        return _checked(span_of("day", cell.year, month=cell.month, day=cell.day), str(cell))
    if cell is None:
        return Value(UNKNOWN_SPAN)
    if isinstance(cell, int | float):
        return _from_number(cell)
    return _from_text(cell, order)


@lru_cache(maxsize=20_000)
def _from_text(cell: str, order: str) -> Value[DateSpan]:
    text = stated(cell)
    plain = _plain(text)
    if not plain or any(word in plain for word in _UNKNOWN_WORDS):
        return Value(UNKNOWN_SPAN)
    try:
        return _checked(_read(plain, order), text)
    except _Unclear as unclear:
        return Value(UNKNOWN_SPAN, str(unclear), fact=text)
    except ValueError:
        return Value(UNKNOWN_SPAN, "date-impossible", fact=text)


def _from_number(number: float) -> Value[DateSpan]:
    if int(number) in _DAY_NUMBERS:
        day = _EPOCH + timedelta(days=int(number))
        return Value(span_of("day", day.year, month=day.month, day=day.day))
    digits = str(int(number)) if number == int(number) else ""
    if len(digits) in {4, 6, 8}:
        return _from_text(digits, "")
    return Value(UNKNOWN_SPAN, "date-unreadable", fact=f"{number:g}")


def _checked(span: DateSpan, text: str) -> Value[DateSpan]:
    if span.first is not None and span.first.year not in _YEARS:
        return Value(UNKNOWN_SPAN, "date-impossible", fact=text)
    return Value(span)


def _plain(text: str) -> str:
    letters = unicodedata.normalize("NFKD", text.casefold().replace("ł", "l"))
    plain = "".join(mark for mark in letters if not unicodedata.combining(mark)).strip()
    plain = _YEAR_WORD.sub("", _WEEKDAY.sub("", _CLOCK.sub("", plain)))
    return _ORDINAL.sub(r"\1", plain).strip()


def _shape(part: str) -> str:
    """Y year, n one or two digits, m month's name, w the word week, D and M written together."""
    if part.isdigit():
        return {1: "n", 2: "n", 4: "Y", 6: "M", 8: "D"}.get(len(part), "?")
    if part in _WEEK_WORDS:
        return "w"
    return "m" if part in _MONTH_WORDS else "?"


def _read(plain: str, order: str) -> DateSpan:
    parts = _PARTS.findall(plain)
    if not _BETWEEN.fullmatch(_PARTS.sub("", plain)):
        raise _Unclear("date-unreadable")
    shape = "".join(map(_shape, parts))
    if any(part.startswith("0") and _shape(part) == "Y" for part in parts):
        raise ValueError(plain)  # the year 0001 is no short way to write 2001
    numbers = [_MONTH_WORDS.get(part) or (int(part) if part.isdigit() else 0) for part in parts]
    if shape in _DAYS:
        year, month, day = (numbers[place] for place in _DAYS[shape])
        return span_of("day", _full(year), month=month, day=day)
    if shape in {"nnY", "nnn"}:
        return _in_order(numbers, order)
    return _shorter(shape, numbers, parts)


# Shape -> where year, month and day stand.
_DAYS: dict[str, tuple[int, int, int]] = {
    "Ynn": (0, 1, 2),
    "Ymn": (0, 1, 2),
    "nmY": (2, 1, 0),
    "nmn": (2, 1, 0),
    "mnY": (2, 0, 1),
    "mnn": (2, 0, 1),
}
# Shape -> where year and month, or year and week, stand.
_MONTHS = {"mY": (1, 0), "Ym": (0, 1), "mn": (1, 0), "nY": (1, 0), "Yn": (0, 1)}
_WEEKS = {"wnY": (2, 1), "Ywn": (0, 2), "nwY": (2, 0), "wnn": (2, 1)}


def _shorter(shape: str, numbers: list[int], parts: list[str]) -> DateSpan:
    if shape in _MONTHS:
        year, month = (numbers[place] for place in _MONTHS[shape])
        return span_of("month", _full(year), month=month)
    if shape in _WEEKS:
        year, week = (numbers[place] for place in _WEEKS[shape])
        return span_of("week", _full(year), week=week)
    if shape == "Y":
        return span_of("year", numbers[0])
    if shape in {"M", "D"}:
        return _together(parts[0])
    return _month_and_year(numbers, shape)


def _together(digits: str) -> DateSpan:
    year, month = int(digits[:4]), int(digits[4:6])
    if len(digits) == len("20260304"):
        return span_of("day", year, month=month, day=int(digits[6:]))
    return span_of("month", year, month=month)


def _month_and_year(numbers: list[int], shape: str) -> DateSpan:
    """'03/26' is March 2026; '03/04' may be a month or a day, '26-Mar' has no year."""
    if shape == "nn" and numbers[0] <= _MONTHS_IN_YEAR < numbers[1]:
        return span_of("month", _full(numbers[1]), month=numbers[0])
    raise _Unclear("date-no-year" if shape in {"nn", "nm"} else "date-unreadable")


def _in_order(numbers: list[int], order: str) -> DateSpan:
    one, two, year = numbers[0], numbers[1], _full(numbers[2])
    if one > _MONTHS_IN_YEAR or one == two:
        return span_of("day", year, month=two, day=one)
    if two > _MONTHS_IN_YEAR or order == "month-first":
        return span_of("day", year, month=one, day=two)
    if order == "day-first":
        return span_of("day", year, month=two, day=one)
    raise _Unclear("date-ambiguous")


def _full(year: int) -> int:
    if year >= 100:  # noqa: PLR2004
        return year
    return year + (2000 if year < _CENTURY else 1900)
