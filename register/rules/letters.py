"""A letter in plain text, laid out for 72 columns, as mail programs of every kind show it."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

WIDTH = 72
MOST_LISTED = 10
SUBJECT_LENGTH = 150


@dataclass(frozen=True, slots=True)
class Letter:
    subject: str
    text: str


@dataclass(frozen=True, slots=True)
class Section:
    """What there is to do of one sort: `brief` goes into the subject, `more` counts what is cut."""

    brief: str
    heading: str
    lines: Sequence[str]
    more: str = ""
    after: str = ""


def paragraph(text: str) -> str:
    """Wrapped, but no word is broken: an address must stay whole."""
    return _wrapped(text, "", "")


def listing(lines: Iterable[str], more: str = "") -> str:
    """Each line behind a dash; `more` says how many are not shown."""
    shown = [_wrapped(line, "- ", "  ") for line in lines]
    return "\n".join([*shown, *([f"  {more}"] if more else [])])


def section_text(section: Section) -> str:
    """The heading, what is to be done line by line, and what to do next."""
    parts = [paragraph(section.heading), listing(section.lines, section.more)]
    text = "\n".join(part for part in parts if part)
    return f"{text}\n{_wrapped(section.after, '  ', '  ')}" if section.after else text


def one_line(text: str, longest: int = SUBJECT_LENGTH) -> str:
    """For a header: whatever breaks a line, or would begin another header, is a blank."""
    line = " ".join("".join(char if char.isprintable() else " " for char in text).split())
    return line if len(line) <= longest else line[: longest - 1].rstrip() + "…"


def letter(subject: str, parts: Iterable[str]) -> Letter:
    """The parts stand apart by an empty line."""
    return Letter(one_line(subject), "\n\n".join(part for part in parts if part) + "\n")


def _wrapped(text: str, first: str, rest: str) -> str:
    return textwrap.fill(
        " ".join(text.split()),
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=False,
        break_on_hyphens=False,
    )
