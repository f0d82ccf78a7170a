"""From one line of cells to one Row, judged by itself and by what the survey found."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TypedDict

from register.intake.choices import Choices
from register.intake.dates import date_of
from register.intake.keys import name_key, product_key
from register.intake.known import Known
from register.intake.reading import Cell, Cells
from register.intake.rows import Aside, Problem, Row
from register.intake.survey import Survey, cell_at
from register.intake.values import length_of, mass_of, serial_of, stated, text_of
from register.intake.words import class_of, condition_of, use_of
from register.rules.lifespan import UNKNOWN_SPAN, DateSpan
from register.rules.serials import serial_key

_NO_NAME = re.compile(r"(sheet|tabelle|feuil|blad|hoja|arkusz|foglio|register|items|list)?\s*\d*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """All that is the same for every line of one sheet. order: as chosen, else as proved."""

    sheet: str
    columns: Mapping[str, int]
    headings: tuple[str, ...]
    choices: Choices
    known: Known
    survey: Survey
    order: str
    texts_typed: bool


@dataclass(slots=True)
class _Found:
    """Gathers what one line has against it."""

    problems: list[Problem] = field(default_factory=list)
    notes: list[Problem] = field(default_factory=list)

    def problem(self, code: str, column: str = "", **facts: str | int) -> None:
        self.problems.append(Problem(code, column, facts))

    def note(self, code: str, column: str = "", **facts: str | int) -> None:
        self.notes.append(Problem(code, column, facts))


def read_line(reader: Reader, line: int, cells: Cells) -> Row | Aside | None:
    """None for a blank line, an Aside for one without an item, else a Row with outcome new or bad."""
    filled = [cell for cell in cells if cell is not None]
    if not filled:
        return None
    if _is_aside(reader, cells, len(filled)):
        return Aside(reader.sheet, line, " ".join(text_of(cell) for cell in filled)[:200])
    found = _Found()
    maker = _text(reader, cells, "maker") or reader.choices.maker
    product = _text(reader, cells, "product")
    for name, text in (("product", product), ("maker", maker)):
        if not text:
            found.problem(f"{name}-missing", name)
    return Row(
        sheet=reader.sheet,
        line=line,
        serial=_serial(reader, cells, (maker, product), found),
        product=product,
        maker=maker,
        class_slug=_class(reader, cells, (maker, product), found),
        condition=_condition(reader, cells, found),
        site=_site(reader, cells, found),
        use_class=_use(reader, cells, found),
        **_plain_texts(reader, cells),
        **_dates(reader, cells, found),
        **_measures(reader, cells, found),
        outcome="bad" if found.problems else "new",
        problems=tuple(found.problems),
        notes=tuple(found.notes),
    )


def _cell(reader: Reader, cells: Cells, slug: str) -> Cell:
    return cell_at(cells, reader.columns.get(slug))


def _text(reader: Reader, cells: Cells, slug: str) -> str:
    return stated(_cell(reader, cells, slug))


def _is_aside(reader: Reader, cells: Cells, filled: int) -> bool:
    """A repeated heading row; or one or two cells and neither serial nor product among them."""
    serial = _cell(reader, cells, "serial")
    heading = reader.headings[reader.columns["serial"]].casefold()
    if isinstance(serial, str) and serial.strip().casefold() == heading:
        return True
    if serial is not None:
        return False
    return filled <= 2 and (filled == 1 or _cell(reader, cells, "product") is None)  # noqa: PLR2004


def _serial(reader: Reader, cells: Cells, made_by: tuple[str, str], found: _Found) -> str:
    read = serial_of(_cell(reader, cells, "serial"))
    if read.problem:
        found.problem(read.problem, "serial", value=read.fact)
        return read.value
    if read.note:
        found.note(read.note, "serial", value=read.value)
    if read.note == "serial-was-number" or not reader.texts_typed:
        _doubt_zeros(reader, read.value, made_by, found)
    return read.value


def _doubt_zeros(reader: Reader, serial: str, made_by: tuple[str, str], found: _Found) -> None:
    """Shorter than serials of the same product that begin with 0: its own zeros may be gone.

    The line stays out, and nobody puts zeros in front by reckoning: an item under a wrong serial
    is missed by every safety notice for as long as it lives.
    """
    key = product_key(*made_by)
    peers = (reader.survey.zero_serials.get(key, ""), reader.known.zero_serials.get(key, ""))
    peer = max(peers, key=lambda text: len(serial_key(text)))
    looks_short = serial.isdigit() and not serial.startswith("0") and len(serial) < len(peer)
    if looks_short and serial_key(serial) not in reader.choices.confirmed_serials:
        found.problem("serial-zeros-lost", "serial", value=serial, peer=peer)


def _class(reader: Reader, cells: Cells, made_by: tuple[str, str], found: _Found) -> str:
    """By the catalogue, by somebody's answer, by the class column, at last by the product's name."""
    held = reader.known.classes.get(product_key(*made_by), "")
    text, product = _text(reader, cells, "class"), made_by[1]
    told = reader.choices.classes
    slug = held or told.get(name_key(text), "") or told.get(name_key(product), "")
    slug = slug or class_of(text)
    if slug:
        return slug
    guessed = class_of(product)
    if guessed:
        found.note("class-from-product", "class", value=product)
    else:
        found.problem("class-unknown", "class", value=text or product)
    return guessed


def _condition(reader: Reader, cells: Cells, found: _Found) -> str:
    """Words not understood start quarantined: they may well say 'do not use'."""
    text = _text(reader, cells, "condition")
    slug = condition_of(text)
    if text and not slug:
        found.note("condition-unknown", "condition", value=text)
        return "quarantined"
    return slug


def _site(reader: Reader, cells: Cells, found: _Found) -> str:
    text = _text(reader, cells, "site") or sheet_site(reader) or reader.choices.site
    sites = reader.choices.sites
    if sites is None:
        return text
    if name_key(text) not in sites:
        found.problem("site-unknown", "site", value=text)
    return sites.get(name_key(text), text)


def sheet_site(reader: Reader) -> str:
    """The sheet's name where it is one sheet per site: not 'Sheet1', not the name of a .csv."""
    if not reader.texts_typed or _NO_NAME.fullmatch(reader.sheet.strip().casefold()):
        return ""
    return reader.sheet.strip()


def _use(reader: Reader, cells: Cells, found: _Found) -> str:
    text = _text(reader, cells, "use_class")
    slug = use_of(text)
    if text and not slug:
        found.note("use-unknown", "use_class", value=text)
    return slug


class _Texts(TypedDict):
    """The fields taken as they stand."""

    tag: str
    size: str
    inspector: str
    holder: str
    zone: str
    batch: str
    standard: str
    remarks: str


def _plain_texts(reader: Reader, cells: Cells) -> _Texts:
    return _Texts(
        tag=_text(reader, cells, "tag"),
        size=_text(reader, cells, "size"),
        inspector=_text(reader, cells, "inspector"),
        holder=_text(reader, cells, "holder"),
        zone=_text(reader, cells, "zone"),
        batch=_text(reader, cells, "batch"),
        standard=_text(reader, cells, "standard"),
        remarks=_text(reader, cells, "remarks"),
    )


class _Measures(TypedDict):
    max_user_kg: Decimal | None
    length_m: Decimal | None


def _measures(reader: Reader, cells: Cells, found: _Found) -> _Measures:
    mass = mass_of(_cell(reader, cells, "max_user_kg"))
    length = length_of(_cell(reader, cells, "length_m"))
    for slug, value in (("max_user_kg", mass), ("length_m", length)):
        if value.note:
            found.note(value.note, slug, value=value.fact)
    return _Measures(max_user_kg=mass.value, length_m=length.value)


class _Spans(TypedDict):
    made: DateSpan
    first_used: DateSpan
    purchased: DateSpan
    last_inspected: DateSpan
    typed_due: DateSpan


def _dates(reader: Reader, cells: Cells, found: _Found) -> _Spans:
    """A typed due date is only compared: nothing stays out for it."""
    due = date_of(_cell(reader, cells, "next_due"), reader.order)
    if due.problem:
        found.note("typed-due-unreadable", "next_due", value=due.fact)
    spans = _Spans(
        made=_date(reader, cells, "made", found),
        first_used=_date(reader, cells, "first_used", found),
        purchased=_date(reader, cells, "purchased", found),
        last_inspected=_date(reader, cells, "last_inspected", found),
        typed_due=due.value,
    )
    _check_sequence(spans, found)
    if spans["made"].first is None:
        found.note("age-not-established", "made")
    return spans


def _date(reader: Reader, cells: Cells, slug: str, found: _Found) -> DateSpan:
    read = date_of(_cell(reader, cells, slug), reader.order)
    if read.problem:
        found.problem(read.problem, slug, value=read.fact)
        return UNKNOWN_SPAN
    if read.value.first is not None and read.value.first > reader.choices.on:
        found.problem("date-ahead", slug, value=read.value.first.isoformat())
    return read.value


def _check_sequence(spans: _Spans, found: _Found) -> None:
    """Nothing is bought, used or inspected before it was made."""
    made = spans["made"].first
    later = (
        ("purchased", spans["purchased"].last),
        ("first_used", spans["first_used"].last),
        ("last_inspected", spans["last_inspected"].last),
    )
    for slug, last in later:
        if made is not None and last is not None and last < made:
            found.problem("dates-out-of-order", slug, value=str(last), made=str(made))
