"""The first look at a file: what its columns seem to be, and what has to be asked about it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.db import transaction

from inspections.intake.answers import sites_guessed
from inspections.intake.remembering import remember_words, remembered_words
from inspections.models import Intake
from register.actions.documents import keep_document
from register.intake.choices import Choices
from register.intake.columns import Guess
from register.intake.dates import DateTally, date_of
from register.intake.fields import FIELDS
from register.intake.known import NOTHING_KNOWN
from register.intake.lines import Reader, sheet_site
from register.intake.reading import Cell, Cells, Sheet, Sheets, read
from register.intake.survey import Survey, below, cell_at, guess_sheets, places
from register.intake.values import stated, text_of
from register.models import Site, Stamp, record

_SAMPLES = 3
_EXAMPLES = 3
_SITES_ASKED = 60  # a column with more texts than that is no column of sites


@dataclass(slots=True)
class _Look:
    """Gathers over all sheets. sites: texts in the order met, '' where a line has none."""

    sheets: list[dict[str, Any]] = field(default_factory=list)
    sites: dict[str, None] = field(default_factory=dict)
    dates: DateTally = field(default_factory=DateTally)
    examples: list[str] = field(default_factory=list)


def begin_intake(
    content: bytes, name: str, *, on: date, stamp: Stamp, sites: Iterable[Site] | None = None
) -> Intake:
    """Keep the file as it came and note what it seems to be. ``sites``: where it may go, else all.

    Raises register.intake.unreadable.Unreadable and keeps nothing where it is no use. A large
    file takes seconds to look at, so nothing is locked before that is done.
    """
    sheets = read(content, name)
    remembered = remembered_words(Intake.Kind.EQUIPMENT)
    mapping = guess_sheets(sheets, remembered)
    seen = look(sheets, mapping)
    offered = Site.objects.all() if sites is None else sites
    intake = Intake(
        by=stamp.by,
        brought_on=on,
        mapping={name: one.to_json() for name, one in mapping.items()},
        choices={"sites": sites_guessed(seen["sites"], offered)},
        seen=seen,
        started_at=stamp.at,
        moved_at=stamp.at,
    )
    return _kept(intake, content, name, stamp)


@transaction.atomic
def _kept(intake: Intake, content: bytes, name: str, stamp: Stamp) -> Intake:
    intake.document = keep_document(content, name=name, kind="workbook", stamp=stamp)
    intake.save()
    facts = {"workbook": intake.document.sha256}
    record("begin-intake", {intake: facts}, stamp=stamp.again())
    return intake


def remember(mapping: Mapping[str, Guess]) -> None:
    """Keep what the headings were said to mean; the last answer stands."""
    said: dict[str, str] = {}
    for one in mapping.values():
        said |= one.to_remember()
    remember_words(Intake.Kind.EQUIPMENT, said)


def look(sheets: Sheets, mapping: Mapping[str, Guess]) -> dict[str, Any]:
    """One walk through the file, as plain values: samples, texts for sites, dates to ask about."""
    found = _Look()
    for sheet in sheets:
        guess = mapping.get(sheet.name, Guess())
        columns = places(guess)
        rows = below(sheet, guess) if guess.header_row else sheet.rows()
        samples = Samples(guess.headings)
        lines = 0
        for lines, cells in enumerate(rows, start=1):  # noqa: B007
            samples.take(cells)
            if "serial" in columns:
                _see(cells, columns, sheet_text(sheets, sheet), found)
        found.sheets.append(
            {"name": sheet.name, "lines": lines, "samples": samples.texts, **_read(guess)}
        )
    return {
        "sheets": found.sheets,
        "sites": [text for text in found.sites if text],
        "lacks_site": "" in found.sites,
        "order": found.dates.order,
        "may_be_swapped": found.dates.may_be_swapped,
        "examples": found.examples,
    }


def _read(guess: Guess) -> dict[str, object]:
    return {"header_row": guess.header_row, "headings": list(guess.headings)}


class Samples:
    """The first few texts of each column."""

    def __init__(self, headings: tuple[str, ...]) -> None:
        self.texts: list[list[str]] = [[] for _ in headings]
        self._headings = headings  # repeated half-way down, they are no sample
        self._wanted = set(range(len(headings)))

    def take(self, cells: Cells) -> None:
        if not self._wanted:
            return
        for column in tuple(self._wanted):
            text = text_of(cell_at(cells, column))
            held = self.texts[column]
            if text and text not in held and text != self._headings[column]:
                held.append(text[:60])
            if len(held) == _SAMPLES:
                self._wanted.discard(column)


def _see(cells: Cells, columns: Mapping[str, int], sheet_says: str, found: _Look) -> None:
    for cell in _dates(cells, columns):
        found.dates.see(cell)
        if len(found.examples) < _EXAMPLES and is_ambiguous(cell):
            found.examples.append(text_of(cell))
    if cell_at(cells, columns["serial"]) is None or len(found.sites) > _SITES_ASKED:
        return
    found.sites[stated(cell_at(cells, columns.get("site"))) or sheet_says] = None


def _dates(cells: Cells, columns: Mapping[str, int]) -> Iterator[Cell]:
    for slug, column in columns.items():
        if FIELDS[slug].is_date and column < len(cells):
            yield cells[column]


def is_ambiguous(cell: Cell) -> bool:
    """Whether it can be two days as long as nobody says which order the file has."""
    return isinstance(cell, str) and date_of(cell).problem == "date-ambiguous"


def sheet_text(sheets: Sheets, sheet: Sheet) -> str:
    """The sheet's name where it tells the site, else ''; by the same rule as the lines are read."""
    reader = Reader(
        sheet=sheet.name,
        columns={},
        headings=(),
        choices=Choices(on=date.min),
        known=NOTHING_KNOWN,
        survey=Survey("plain", False, {}, 0),
        order="",
        texts_typed=sheets.texts_typed,
    )
    return sheet_site(reader)
