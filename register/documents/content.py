"""What a paper says, as a plain value: the same value becomes the PDF and the page.

Texts are in the reader's language already. No Django, no drawing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, ClassVar


@dataclass(frozen=True, slots=True)
class Heading:
    """The heading of a part."""

    block: ClassVar[str] = "heading"
    text: str

    @property
    def texts(self) -> tuple[str, ...]:
        return (self.text,)


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph; struck where it no longer stands but must stay legible."""

    block: ClassVar[str] = "words"
    text: str
    strong: bool = False
    struck: bool = False

    @property
    def texts(self) -> tuple[str, ...]:
        return (self.text,)


@dataclass(frozen=True, slots=True)
class Identity:
    """Names and values side by side: what a thing is known by."""

    block: ClassVar[str] = "identity"
    pairs: tuple[tuple[str, str], ...]

    @property
    def texts(self) -> tuple[str, ...]:
        return tuple(text for pair in self.pairs for text in pair)


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table, and a line beneath it over all columns."""

    cells: tuple[str, ...]
    strong: bool = False
    struck: bool = False
    under: str = ""

    @property
    def texts(self) -> tuple[str, ...]:
        return (*self.cells, self.under)


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under heads that are repeated on each page; shares are the widths of the columns."""

    block: ClassVar[str] = "table"
    heads: tuple[str, ...]
    rows: tuple[Row, ...]
    shares: tuple[float, ...]

    @property
    def texts(self) -> tuple[str, ...]:
        return (*self.heads, *(text for row in self.rows for text in row.texts))

    @property
    def labelled(self) -> list[tuple[Row, list[tuple[str, str]]]]:
        """Each row with its cells under the names of their columns, for a narrow page."""
        return [(row, list(zip(self.heads, row.cells, strict=True))) for row in self.rows]


@dataclass(frozen=True, slots=True)
class Statement:
    """What must not be overlooked: large, framed, and beside the struck tag where it forbids use;
    as wide as the sheet where the paper is to be read from afar."""

    block: ClassVar[str] = "statement"
    text: str
    lines: tuple[str, ...] = ()
    forbids: bool = False
    from_afar: bool = False

    @property
    def texts(self) -> tuple[str, ...]:
        return (self.text, *self.lines)


@dataclass(frozen=True, slots=True)
class Caution:
    """What a reader could wrongly rely on; large where it is read from a step away."""

    block: ClassVar[str] = "caution"
    text: str
    large: bool = False

    @property
    def texts(self) -> tuple[str, ...]:
        return (self.text,)


@dataclass(frozen=True, slots=True)
class ToWrite:
    """Named lines to be filled in by hand."""

    block: ClassVar[str] = "to-write"
    labels: tuple[str, ...]

    @property
    def texts(self) -> tuple[str, ...]:
        return self.labels


@dataclass(frozen=True, slots=True)
class TearOff:
    """A line to tear along; what follows is kept by whoever the words say."""

    block: ClassVar[str] = "tear-off"
    text: str

    @property
    def texts(self) -> tuple[str, ...]:
        return (self.text,)


@dataclass(frozen=True, slots=True)
class Stroke:
    """One line of a sketch: the M, L, H, h, V, v and C of an SVG path; light where it clears a way."""

    path: str
    thickness: float
    light: bool = False


@dataclass(frozen=True, slots=True)
class Sketch:
    """Strokes in units of their own; the words say what they show, for who does not see them."""

    block: ClassVar[str] = "sketch"
    width: float
    height: float
    strokes: tuple[Stroke, ...]
    words: str

    @property
    def texts(self) -> tuple[str, ...]:
        return ()


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing made when it is wanted: small and without letters for the PDF, as markup for the page.

    The caption tells what must be known of it.
    """

    drawn: Callable[[], Any]
    markup: Callable[[], str]
    caption: str


@dataclass(frozen=True, slots=True)
class Card:
    """One thing at a glance: its title and verdict beside a sign, what serves it, the steps to take."""

    block: ClassVar[str] = "card"
    title: str
    verdict: str
    pairs: tuple[tuple[str, str], ...] = ()
    steps: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    sign: Sketch | None = None
    picture: Picture | None = None

    @property
    def texts(self) -> tuple[str, ...]:
        told = tuple(text for pair in self.pairs for text in pair)
        caption = (self.picture.caption,) if self.picture else ()
        return (self.title, self.verdict, *told, *self.steps, *self.notes, *caption)


Block = Heading | Words | Identity | Table | Statement | Caution | ToWrite | TearOff | Sketch | Card


@dataclass(frozen=True, slots=True)
class Content:
    """A paper's title, its one line without anybody's name, its blocks, and how long it is good.

    ``about`` is shown to whoever checks the paper without signing in, to compare with what they hold.
    What ``hangs`` on a wall says at the foot of each page that it goes on, so that no page is missed.
    """

    title: str
    about: str
    blocks: Sequence[Block]
    good_until_at: datetime | None = None
    hangs: bool = False

    def texts(self) -> Iterator[str]:
        """Every text of it, in reading order."""
        yield self.title
        yield self.about
        for block in self.blocks:
            yield from (text for text in block.texts if text)


@dataclass(frozen=True, slots=True)
class Frame:
    """What stands around the content on every page: who issued it, when, and how to check it."""

    employer: str
    address: str
    reference: str
    link: str
    moments: tuple[str, ...]
    check: str
    language: str
    size: str
    notes: tuple[str, ...] = field(default=())
