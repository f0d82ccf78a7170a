"""Guesses which column is which; the guess is shown, can be changed and is remembered."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice
from typing import Literal

from register.intake.fields import EQUIPMENT, FIELDS, Vocabulary, normal_heading
from register.intake.reading import Cells
from register.intake.words import class_of

Certainty = Literal["remembered", "exact", "part", "cells"]

_ROWS_SEARCHED = 30  # title rows, logos and legends above the headings
_ROWS_SAMPLED = 60
_MOST_WORDS = 7  # longer texts are sentences in a title, not headings
_CLASS_SHARE = 0.5


@dataclass(frozen=True, slots=True)
class Guess:
    """What each column of a sheet seems to be.

    header_row: the line of the headings as people count (1 is the first), None where none was
    found. mapping: column index from 0 -> field slug. certainty: how each came about.
    unknown: indexes of columns with a heading that was not understood.
    """

    header_row: int | None = None
    headings: tuple[str, ...] = ()
    mapping: dict[int, str] = field(default_factory=dict)
    certainty: dict[int, Certainty] = field(default_factory=dict)
    unknown: tuple[int, ...] = ()

    @property
    def missing(self) -> tuple[str, ...]:
        """Fields without which no item can be identified."""
        found = set(self.mapping.values())
        return tuple(one.slug for one in FIELDS.values() if one.is_needed and one.slug not in found)

    @property
    def confidence(self) -> float:
        """Share of the columns with a heading that are understood; 0 when one needed is missing."""
        total = sum(1 for heading in self.headings if heading)
        if self.missing or not total:
            return 0.0
        return round(len(self.mapping) / total, 2)

    @property
    def signature(self) -> str:
        """The headings as one text: sheets with the same one need to be asked about once."""
        return "|".join(normal_heading(heading) for heading in self.headings).strip("|")

    def changed(self, mapping: Mapping[int, str], book: Vocabulary = EQUIPMENT) -> Guess:
        """The guess with the columns as somebody set them; '' leaves a column unknown."""
        kept = {column: slug for column, slug in mapping.items() if slug in book.fields}
        certainty: dict[int, Certainty] = dict.fromkeys(kept, "remembered")
        return replace(self, mapping=kept, certainty=certainty, unknown=_left(self.headings, kept))

    def to_remember(self) -> dict[str, str]:
        """Heading as normalised -> field slug, fit for JSON; give it back as `remembered`."""
        pairs = {
            normal_heading(self.headings[column]): slug for column, slug in self.mapping.items()
        }
        return {heading: slug for heading, slug in pairs.items() if heading}

    def to_json(self) -> dict[str, object]:
        """Plain values only; JSON has no whole numbers as keys, so columns become texts."""
        return {
            "header_row": self.header_row,
            "headings": list(self.headings),
            "mapping": {str(column): slug for column, slug in self.mapping.items()},
        }


def guess_from_json(kept: Mapping[str, object], book: Vocabulary = EQUIPMENT) -> Guess:
    """The other way round from `Guess.to_json`."""
    row, headings, mapping = kept["header_row"], kept["headings"], kept["mapping"]
    if not (isinstance(headings, list) and isinstance(mapping, dict)):
        raise TypeError("headings is a list and mapping is an object")
    plain = Guess(row if isinstance(row, int) else None, tuple(map(str, headings)))
    return plain.changed({int(column): str(slug) for column, slug in mapping.items()}, book)


def guess(
    rows: Iterable[Cells],
    remembered: Mapping[str, str] | None = None,
    book: Vocabulary = EQUIPMENT,
) -> Guess:
    """Looks at the first rows only: finds the heading row, then reads it.

    `remembered` (see `Guess.to_remember`) goes before our own words.
    """
    known = remembered or {}
    top = list(islice(rows, _ROWS_SEARCHED + _ROWS_SAMPLED))
    scores = [_score(row, known, book) for row in top[:_ROWS_SEARCHED]]
    best = max(scores, default=0)
    if best < book.fewest:
        return Guess()
    index = scores.index(best)
    return _read_headings(index, top, known, book)


def guess_at(
    rows: Iterable[Cells],
    header_row: int,
    remembered: Mapping[str, str] | None = None,
    book: Vocabulary = EQUIPMENT,
) -> Guess:
    """As `guess`, where somebody says which line holds the headings (1 is the first)."""
    top = list(islice(rows, header_row + _ROWS_SAMPLED))
    if not 1 <= header_row <= len(top):
        return Guess()
    return _read_headings(header_row - 1, top, remembered or {}, book)


def _score(row: Cells, known: Mapping[str, str], book: Vocabulary) -> int:
    """How many fields the row names; a title that names one is not a heading row."""
    slugs = (_by_words(normal_heading(cell), known, book) for cell in row)
    return len({found[0] for found in slugs if found})


def _read_headings(
    index: int, top: Sequence[Cells], known: Mapping[str, str], book: Vocabulary
) -> Guess:
    headings = tuple("" if cell is None else str(cell).strip() for cell in top[index])
    found = [
        (column, _by_words(normal_heading(text), known, book))
        for column, text in enumerate(headings)
    ]
    rank = {"remembered": 0, "exact": 1, "part": 2, "cells": 3}
    pairs = [(rank[hit[1]], column, *hit) for column, hit in found if hit]
    mapping: dict[int, str] = {}
    certainty: dict[int, Certainty] = {}
    for _, column, wanted, how in sorted(pairs):
        slug = _by_cells(column, top[index + 1 :], mapping) if wanted == "type" else wanted
        if slug in book.repeated or (slug and slug not in mapping.values()):
            mapping[column], certainty[column] = slug, how
    mapping = dict(sorted(mapping.items()))
    return Guess(index + 1, headings, mapping, certainty, _left(headings, mapping))


def _left(headings: Sequence[str], mapping: Mapping[int, str]) -> tuple[int, ...]:
    return tuple(
        column for column, heading in enumerate(headings) if heading and column not in mapping
    )


def _by_words(
    heading: str, known: Mapping[str, str], book: Vocabulary
) -> tuple[str, Certainty] | None:
    """The field a heading names; 'type' where only the cells can tell class from product."""
    if not heading:
        return None
    if heading in known:
        return known[heading], "remembered"
    if heading in book.exact:
        return book.exact[heading], "exact"
    if heading in book.type_words:
        return "type", "cells"
    return _by_part(heading, book)


def _by_part(heading: str, book: Vocabulary) -> tuple[str, Certainty] | None:
    """The longest phrase we know that is wholly within the heading, of two words or four letters."""
    words = heading.split()
    if len(words) > _MOST_WORDS:
        return None
    best = ""
    for size in range(len(words), 0, -1):
        for start in range(len(words) - size + 1):
            phrase = " ".join(words[start : start + size])
            if _may_be_part(phrase, book) and len(phrase) > max(len(best), 3):
                best = phrase
        if best:
            return book.exact[best], "part"
    return None


def _may_be_part(phrase: str, book: Vocabulary) -> bool:
    slug = book.exact.get(phrase, "")
    return bool(slug) and (not book.by_part or slug in book.by_part)


def _by_cells(column: int, rows: Sequence[Cells], taken: Mapping[int, str]) -> str:
    """Class where most cells name a class and no column does yet, else product."""
    cells = [row[column] for row in rows if column < len(row) and isinstance(row[column], str)]
    named = sum(1 for cell in cells if class_of(str(cell)))
    is_class = bool(cells) and named >= _CLASS_SHARE * len(cells)
    free = [slug for slug in ("class", "product") if slug not in taken.values()]
    if is_class and "class" in free:
        return "class"
    return "product" if "product" in free else ""
