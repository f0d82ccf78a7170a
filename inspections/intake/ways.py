"""What every kind of file has in common on its way in: columns, questions, lines, lists."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Literal

from django.utils.translation import gettext_noop

from inspections.models import Intake
from register.intake.columns import Guess, guess_from_json
from register.intake.fields import Vocabulary
from register.intake.reading import Sheets, read
from register.models import Stamp

Asked = Literal["choice", "text", "number", "tick", "day"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Something the file does not say. name: under which the answer is kept; group: its heading.

    remembered_as: the kind and the word under which the answer is kept for the next file.
    """

    name: str
    label: str
    asked: Asked = "choice"
    choices: Sequence[tuple[str, str]] = ()
    initial: str = ""
    is_needed: bool = False
    help_text: str = ""
    group: str = ""
    remembered_as: tuple[str, str] = ("", "")


@dataclass(frozen=True, slots=True, kw_only=True)
class ListOf:
    """One list of the preview: its name and what to say of it. acts: its lines change something;
    stays_out: they come back to their sender; is_loud: they are told before all else."""

    slug: str
    name: str
    about: str = ""
    acts: bool = False
    stays_out: bool = False
    is_loud: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """What one line would do. about: whom or what it means, as shown; said: what happens, or why
    it stays out and what to do. act: what the way needs to do it, in plain values."""

    sheet: str
    line: int
    about: str
    list: str
    said: str
    act: Any = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Undone:
    """What a batch taken back came to: how many went, and what stays, each with its reason."""

    taken_back: int
    stays: Sequence[str] = ()


def _read(content: bytes, name: str, on: date) -> Sheets:
    """A workbook says the same on every day; a calendar does not."""
    del on
    return read(content, name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One kind of file: how it is read, what is asked, what its lines would do, and doing it.

    ``see`` finds what the questions need, as plain values; ``act`` does one line and returns the
    key of what it made; ``undo`` takes those back again. ``unseen``: fields of which not even a
    sample is shown. ``unnamed``: what a column is that nobody says anything of.
    """

    kind: Intake.Kind
    book: Vocabulary
    lists: tuple[ListOf, ...]
    see: Callable[[Sheets, Mapping[str, Guess]], dict[str, Any]]
    questions: Callable[[Intake], list[Question]]
    plan: Callable[[Intake, Sheets], list[Line]]
    act: Callable[[Intake, Line, Stamp], str]
    undo: Callable[[Intake, Stamp], Undone]
    needed: tuple[tuple[str, ...], ...] = ()
    document: str = "workbook"
    is_matrix: bool = False
    unseen: frozenset[str] = frozenset()
    unnamed: str = gettext_noop("Not brought in")
    read: Callable[[bytes, str, date], Sheets] = field(default=_read)

    def mapping(self, intake: Intake) -> dict[str, Guess]:
        """The columns of each sheet as they stand."""
        return {name: guess_from_json(one, self.book) for name, one in intake.mapping.items()}

    def named(self, slug: str) -> ListOf:
        return next(one for one in self.lists if one.slug == slug)

    def acting(self, counts: Mapping[str, int]) -> int:
        """How many lines change something."""
        return sum(counts.get(one.slug, 0) for one in self.lists if one.acts)

    def staying(self, counts: Mapping[str, int]) -> int:
        """How many lines stay out."""
        return sum(counts.get(one.slug, 0) for one in self.lists if one.stays_out)


def said(intake: Intake, name: str) -> str:
    """The answer to a question, '' where nobody gave one."""
    answers: Mapping[str, str] = intake.choices.get("said", {})
    return str(answers.get(name, ""))
