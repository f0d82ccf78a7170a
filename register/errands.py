"""The kinds of work that take longer than a second, as each app enters its own.

A kind is entered once, in the app's ``tasks.py``: ``enter_kind(Kind(...))``. Its ``run`` is called by
the background worker, outside any transaction, in the language of who asked.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import IO, Any, Protocol

from register.models import Errand

WEEK = timedelta(days=7)


class Stopped(Exception):
    """Raised by ``step`` where the errand was stopped, or asked for again: let it through."""


class Step(Protocol):
    """Tell how far the work is, as often as one likes; raises ``Stopped`` where it is to end."""

    def __call__(self, done: int, total: int, sentence: str = "") -> None: ...


@dataclass(frozen=True, slots=True)
class Made:
    """What came of an errand: one file, as bytes or open at its beginning."""

    name: str
    content_type: str
    content: bytes | IO[bytes]


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of work.

    ``need`` is asked of the asker at every site of the errand when it is asked for and again when
    its result is fetched; ``words`` names it for people, from what was given.
    """

    name: str
    need: str
    words: Callable[[Mapping[str, Any]], str]
    run: Callable[[Errand, Step], Made]
    kept_for: timedelta = WEEK


_KINDS: dict[str, Kind] = {}


def enter_kind(kind: Kind) -> Kind:
    """Make the kind known; ValueError for another of the same name."""
    if _KINDS.setdefault(kind.name, kind) is not kind:
        raise ValueError(f"There are two kinds of errand called {kind.name!r}.")
    return kind


def kinds() -> dict[str, Kind]:
    """Every kind by its name."""
    return dict(_KINDS)


def kind_of(errand: Errand) -> Kind | None:
    """The errand's kind; None where this program no longer has it."""
    return _KINDS.get(errand.kind)


def words_of(errand: Errand) -> str:
    """What the errand is, for people."""
    kind = kind_of(errand)
    return kind.words(errand.given) if kind else errand.kind
