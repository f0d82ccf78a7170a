"""What a training matrix says, cell by cell: who, which training, taken when, valid until when."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from readiness.intake.people import Who
from readiness.intake.training.words import cell_says, heading_of
from register.intake.columns import Guess
from register.intake.dates import date_of
from register.intake.fields import normal_heading
from register.intake.reading import Cell, Cells, Sheet, Sheets
from register.intake.rows import Problem
from register.intake.survey import below, cell_at, names_to_read_by, places
from register.intake.values import stated, text_of
from register.intake.wording import letter_of

NAMED_BY = ("name", "last_name", "number")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """One training of one person. through_on or taken_on or neither; ``dated`` says what a bare day
    of a matrix is: 'through', 'taken' or '' where its heading does not say."""

    sheet: str
    line: int
    column: str
    who: Who
    training: str
    taken_on: date | None = None
    through_on: date | None = None
    bare_on: date | None = None
    provider: str = ""
    says: str = ""
    problems: tuple[Problem, ...] = ()

    @property
    def key(self) -> str:
        return normal_heading(self.training)


def is_long(found: Guess) -> bool:
    """A line a training, rather than a column a training."""
    return "training" in found.mapping.values()


def sheets_read(
    sheets: Sheets, mapping: Mapping[str, Guess], left_out: frozenset[str]
) -> Iterator[tuple[Sheet, Guess]]:
    for name in names_to_read_by(sheets, mapping, left_out, NAMED_BY):
        yield sheets.open_sheet(name), mapping[name]


def trainings_across(found: Guess) -> dict[int, tuple[str, str]]:
    """Of a matrix, each column of days: the training and what its days are, by the column."""
    if is_long(found):
        return {}
    return {column: heading_of(found.headings[column]) for column in found.unknown}


def lines_of(
    sheets: Sheets, mapping: Mapping[str, Guess], *, order: str, left_out: frozenset[str]
) -> Iterator[Stated]:
    """Everything that is said of anybody, in the order of the file."""
    for sheet, found in sheets_read(sheets, mapping, left_out):
        start = (found.header_row or 0) + 1
        for number, cells in enumerate(below(sheet, found), start=start):
            who = who_of(cells, found)
            if who is None:
                continue
            place = (sheet.name, number)
            read = _long if is_long(found) else _across
            yield from read(place, cells, found, (who, order))


def who_of(cells: Cells, found: Guess) -> Who | None:
    """The person a line names, None for a blank line or a heading repeated."""
    columns = places(found)

    def text(slug: str) -> str:
        return stated(cell_at(cells, columns.get(slug)))

    name = text("name") or " ".join(filter(None, (text("first_name"), text("last_name"))))
    headings = {heading.casefold() for heading in found.headings if heading}
    if name.casefold() in headings or not (name or text("number")):
        return None
    return Who(name[:120], text("employer")[:120], text("number")[:40])


def _long(
    place: tuple[str, int], cells: Cells, found: Guess, context: tuple[Who, str]
) -> Iterator[Stated]:
    who, order = context
    columns = places(found)
    training = stated(cell_at(cells, columns.get("training")))
    taken, said_taken = _day(cell_at(cells, columns.get("taken_on")), order)
    through, said_through = _day(cell_at(cells, columns.get("through_on")), order)
    state = cell_says(stated(cell_at(cells, columns.get("state"))))
    column = columns.get("through_on", columns.get("taken_on", columns["training"]))
    if not training:
        return
    yield Stated(
        sheet=place[0],
        line=place[1],
        column=letter_of(column),
        who=who,
        training=training[:120],
        taken_on=taken,
        through_on=through,
        provider=stated(cell_at(cells, columns.get("provider")))[:120],
        says=next((each for each in (state, said_through, said_taken) if each in _NEWS), "")
        or ("" if taken or through else "undated"),
        problems=_problems(said_taken, said_through, cells, columns),
    )


_NEWS = ("ended", "revoked")


def _problems(
    taken: str, through: str, cells: Cells, columns: Mapping[str, int]
) -> tuple[Problem, ...]:
    found = ((taken, "taken_on"), (through, "through_on"))
    return tuple(
        Problem(code, slug, {"value": text_of(cell_at(cells, columns.get(slug)))})
        for code, slug in found
        if code.startswith("date-")
    )


def _across(
    place: tuple[str, int], cells: Cells, found: Guess, context: tuple[Who, str]
) -> Iterator[Stated]:
    """Two columns of one training, taken and valid until, are one statement."""
    who, order = context
    by_training: dict[str, list[tuple[int, str]]] = {}
    for column, (training, dated) in trainings_across(found).items():
        by_training.setdefault(training, []).append((column, dated))
    for training, held in by_training.items():
        one = _of_training(place, cells, (who, training, order), held)
        if one is not None:
            yield one


def _of_training(
    place: tuple[str, int],
    cells: Cells,
    context: tuple[Who, str, str],
    held: Sequence[tuple[int, str]],
) -> Stated | None:
    who, training, order = context
    days: dict[str, date | None] = {}
    says: list[str] = []
    for column, dated in held:
        cell = cell_at(cells, column)
        day, said = _day(cell, order)
        days[dated or "bare"] = day
        says.append(said)
    told = next((one for one in says if one not in {"", "none"}), "")
    if not any(days.values()) and not told:
        return None
    broken, column = told.startswith("date-"), held[-1][0]
    return Stated(
        sheet=place[0],
        line=place[1],
        column=letter_of(column),
        who=who,
        training=training[:120],
        taken_on=days.get("taken"),
        through_on=days.get("through"),
        bare_on=days.get("bare"),
        says="" if broken else told,
        problems=_broken(told, cell_at(cells, column)) if broken else (),
    )


def _broken(code: str, cell: Cell) -> tuple[Problem, ...]:
    return (Problem(code, "", {"value": text_of(cell)}),)


def _day(cell: Cell, order: str) -> tuple[date | None, str]:
    """The day, or what the cell says instead. Of a month or a year the first day, the safe one."""
    if cell is None:
        return None, "none"
    said = cell_says(text_of(cell)) if isinstance(cell, str) else ""
    if said:
        return None, said
    read = date_of(cell, order)
    if read.problem:
        return None, read.problem
    return read.value.first, "" if read.value.first else "none"
