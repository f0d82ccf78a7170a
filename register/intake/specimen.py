"""A seeded workbook as untidy as the ones firms keep, with every kind of mess in known numbers."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from register.intake.reading import Cell
from register.intake.specimen_stock import (
    IN_SERVICE_WORDS,
    INSPECTORS,
    REMARKS,
    SITES,
    STOCK,
    WORSE_WORDS,
    ZONES,
    Line,
)
from register.rules.lifespan import add_months

Record = dict[str, Cell]

DATE_ORDER = "day-first"  # what to answer when the specimen's order is asked
MONTHS_BETWEEN = 12  # the typed due dates that are right are so many months on


@dataclass(frozen=True, slots=True)
class Mess:
    """How many lines of each kind are in the specimen; what a plan must find, no more, no less.

    Lines that stay out: eaten, zeros_lost, impossible, no_year, no_serial; two_sheets and tag_twice
    count both lines of each pair. Lines that only are told: twice, no_age, due_differs, worse.
    asides: totals, remarks and repeated headings.
    """

    eaten: int
    zeros_lost: int
    impossible: int
    no_year: int
    no_serial: int
    two_sheets: int
    tag_twice: int
    twice: int
    no_age: int
    due_differs: int
    worse: int
    asides: int = 0

    @property
    def bad(self) -> int:
        one_line = self.eaten + self.zeros_lost + self.impossible + self.no_year + self.no_serial
        return one_line + self.two_sheets + self.tag_twice


@dataclass(frozen=True, slots=True)
class SpecimenSheet:
    """titles: lines above the headings. records: None stands for a repeated heading row."""

    name: str
    titles: int
    layout: tuple[tuple[str, str], ...]
    records: tuple[Record | None, ...]


@dataclass(frozen=True, slots=True)
class Specimen:
    sheets: tuple[SpecimenSheet, ...]
    mess: Mess


def build_specimen(day: date, seed: int, rows: int = 600) -> Specimen:
    """A workbook of about `rows` items, all dates reckoned back from `day`; same seed, same cells."""
    chance = random.Random(seed)  # noqa: S311
    mess = _mess_for(rows)
    extra = mess.twice + mess.two_sheets // 2
    records = [_record(chance, day, n) for n in range(1, rows - extra + 1)]
    places = list(range(len(records)))
    chance.shuffle(places)
    free = iter(places)
    _spoil(chance, records, free, mess)
    sheets = _dealt(records)
    _repeat(chance, records, sheets, free, mess)
    return Specimen(*_with_asides(sheets, mess))


def _mess_for(rows: int) -> Mess:
    """About 8 in 100 lines unusable; 10 in 100 without age, as in the firm's own workbook."""

    def of(per_600: int) -> int:
        return max(1, round(per_600 * rows / 600))

    return Mess(
        eaten=of(12),
        zeros_lost=of(12),
        impossible=of(6),
        no_year=of(3),
        no_serial=of(4),
        two_sheets=2 * of(4),
        tag_twice=2 * of(2),
        twice=of(6),
        no_age=of(60),
        due_differs=of(25),
        worse=of(20),
    )


def _record(chance: random.Random, day: date, number: int) -> Record:
    line = _stock_line(chance, number)
    made = day - timedelta(days=chance.randint(400, 2900))
    first_used = made + timedelta(days=chance.randint(45, 300))
    months_ago = chance.choice((0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 14))
    last = max(add_months(day, -months_ago) - timedelta(days=chance.randint(1, 27)), first_used)
    return {
        "tag": f"TW-{number:05d}",
        "class": chance.choice(line.words),
        "maker": line.maker,
        "product": line.product,
        "serial": line.serials.format(n=number, m=80_000_003 + 10 * number),
        "size": chance.choice(line.sizes) if line.sizes else None,
        "made": _made_cell(chance, made),
        "first_used": _day_cell(chance, first_used),
        "last_inspected": _day_cell(chance, last),
        "next_due": add_months(last, MONTHS_BETWEEN),
        "inspector": chance.choice(INSPECTORS),
        "condition": chance.choice(IN_SERVICE_WORDS),
        "holder": None,
        "zone": chance.choice(ZONES),
        "remarks": chance.choice(REMARKS) or None,
    }


def _stock_line(chance: random.Random, number: int) -> Line:
    """The first dozen lines are one of each product, so that none is missing from a small one."""
    if number <= len(STOCK):
        return STOCK[number - 1]
    return chance.choices(STOCK, weights=[line.share for line in STOCK])[0]


def _made_cell(chance: random.Random, made: date) -> Cell:
    week = made.isocalendar()
    forms: tuple[Cell, ...] = (
        made,
        f"{made:%b-%y}",
        f"{made:%B %Y}",
        f"{made:%m/%Y}",
        made.year,
        f"wk {week.week} {week.year}",
        f"{made:%d %b %Y}",
    )
    return chance.choice(forms)


def _day_cell(chance: random.Random, day: date) -> Cell:
    """Slashed and dotted days stay within the 12th: nothing in the file tells their order."""
    forms: list[Cell] = [day, day, f"{day.day} {day:%b %Y}", day.isoformat()]
    if day.day <= 12:  # noqa: PLR2004
        forms += [f"{day:%d/%m/%Y}", f"{day:%d.%m.%y}"]
    return chance.choice(forms)


def _spoil(chance: random.Random, records: list[Record], free: Iterator[int], mess: Mess) -> None:
    """Each kind of mess on lines of its own, so that the counts do not overlap."""
    _lose_zeros(records, free, mess.zeros_lost)
    never = ("2023-02-31", "2023-13-01", "30 Feb 2024")
    spoilt: tuple[tuple[int, str, Callable[[], Cell]], ...] = (
        (mess.eaten, "serial", lambda: float(chance.randint(2, 9)) * 10 ** chance.randint(9, 13)),
        (mess.impossible, "made", lambda: chance.choice(never)),
        (mess.no_year, "made", lambda: "03/04"),
        (mess.no_serial, "serial", lambda: None),
        (mess.no_age, "made", lambda: chance.choice((None, "?", "not marked", "n/a"))),
        (mess.worse, "condition", lambda: chance.choice(WORSE_WORDS)),
    )
    for wanted, field, cell in spoilt:
        for _ in range(wanted):
            records[next(free)][field] = cell()
    for _ in range(mess.tag_twice // 2):
        records[next(free)]["tag"] = records[next(free)]["tag"]
    for _ in range(mess.due_differs):
        record = records[next(free)]
        due = record["next_due"]
        if isinstance(due, date):
            record["next_due"] = due + timedelta(days=chance.choice((31, 61, 92, 365)))


def _lose_zeros(records: list[Record], free: Iterator[int], wanted: int) -> None:
    """Turns serials such as 0000412 into the number 412; lines of other products are passed over."""
    while wanted:
        record = records[next(free)]
        serial = record["serial"]
        if isinstance(serial, str) and serial.startswith("0"):
            record["serial"] = int(serial)
            wanted -= 1


def _dealt(records: list[Record]) -> list[list[Record | None]]:
    """A run of lines for each site, in the order of SITES."""
    sheets: list[list[Record | None]] = []
    start, shares = 0, 0
    for _, share, _, _ in SITES:
        shares += share
        end = len(records) * shares // 100
        sheets.append(list(records[start:end]))
        start = end
    return sheets


def _repeat(
    chance: random.Random,
    records: list[Record],
    sheets: list[list[Record | None]],
    free: Iterator[int],
    mess: Mess,
) -> None:
    """The same line again further down its own sheet; and some on the sheet of another site."""
    for kind in ["twice"] * mess.twice + ["two sheets"] * (mess.two_sheets // 2):
        record = records[next(free)]
        home = next(n for n, sheet in enumerate(sheets) if any(one is record for one in sheet))
        away = (home + chance.randint(1, len(sheets) - 1)) % len(sheets)
        sheets[home if kind == "twice" else away].append(dict(record))


def _with_asides(
    sheets: list[list[Record | None]], mess: Mess
) -> tuple[tuple[SpecimenSheet, ...], Mess]:
    """A repeated heading row half-way and a total at the end of each sheet."""
    made = []
    for (name, _, titles, layout), records in zip(SITES, sheets, strict=True):
        half = len(records) // 2
        total: Record = {layout[0][1]: f"Total {len(records)} items"}
        if layout[0][1] == "serial":
            total = {"remarks": f"Total {len(records)} items"}
        lines = (*records[:half], None, *records[half:], total)
        made.append(SpecimenSheet(name, titles, layout, lines))
    counted = {field: getattr(mess, field) for field in mess.__slots__}
    return tuple(made), Mess(**counted | {"asides": 2 * len(made)})
