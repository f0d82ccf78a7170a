"""Figures as they were kept (JSON) become values, each with its type held; nothing unknown passes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import isfinite
from typing import Any, Final

from readiness.rules.sums.values import Refused

FORMAT: Final = 1
MOST_ROWS: Final = 200
MOST_LETTERS: Final = 200


def is_of_format(figures: object) -> bool:
    """Whether kept figures are of the format that this program reads."""
    return isinstance(figures, Mapping) and figures.get("format") == FORMAT


class Given:
    """A mapping that is asked for each of its figures; `end` refuses what nobody asked for.

    `within` is put before the names of fields, so that a refusal says where it stands.
    """

    def __init__(self, figures: object, within: str = "") -> None:
        if not isinstance(figures, Mapping):
            raise Refused(within or "figures", "not-a-number")
        self._figures: Mapping[str, Any] = figures
        self._within = within
        self._asked: set[str] = set()

    def _take(self, name: str) -> Any:
        self._asked.add(name)
        return self._figures.get(name)

    def field(self, name: str) -> str:
        return f"{self._within}.{name}" if self._within else name

    def number(self, name: str) -> float | None:
        """A finite number, or None where nothing was given."""
        value = self._take(name)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
            raise Refused(self.field(name), "not-a-number")
        return float(value)

    def number_or(self, name: str, instead: float) -> float:
        value = self.number(name)
        return instead if value is None else value

    def must(self, name: str) -> float:
        value = self.number(name)
        if value is None:
            raise Refused(self.field(name), "missing")
        return value

    def text(self, name: str) -> str:
        value = self._take(name)
        if value is None:
            return ""
        if not isinstance(value, str) or len(value) > MOST_LETTERS:
            raise Refused(self.field(name), "not-known")
        return value

    def one_of(self, name: str, words: Sequence[str]) -> str:
        value = self._take(name)
        if value is None or value == "":
            raise Refused(self.field(name), "missing")
        if value not in words:
            raise Refused(self.field(name), "not-known")
        return str(value)

    def flag(self, name: str) -> bool:
        """False where nothing was given."""
        value = self._take(name)
        if value is None:
            return False
        if not isinstance(value, bool):
            raise Refused(self.field(name), "not-known")
        return value

    def rows(self, name: str) -> list[Given]:
        """Each a mapping of its own."""
        value = self._take(name)
        if value is None:
            return []
        if not isinstance(value, list) or len(value) > MOST_ROWS:
            raise Refused(self.field(name), "not-known")
        return [Given(row, f"{self.field(name)}.{number}") for number, row in enumerate(value)]

    def inner(self, name: str) -> Given | None:
        value = self._take(name)
        return None if value is None else Given(value, self.field(name))

    def numbers(self, name: str) -> tuple[float, ...]:
        """A list of finite numbers."""
        value = self._take(name)
        if not isinstance(value, list) or len(value) > MOST_ROWS:
            raise Refused(self.field(name), "missing")
        listed = Given({str(at): one for at, one in enumerate(value)}, self.field(name))
        return tuple(listed.must(str(at)) for at in range(len(value)))

    def words(self, name: str) -> tuple[str, ...]:
        value = self._take(name)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            raise Refused(self.field(name), "not-known")
        return tuple(value)

    def format(self) -> None:
        """Refused: figures of a format that this program does not read."""
        if self._take("format") != FORMAT:
            raise Refused(self.field("format"), "not-known")

    def end(self) -> None:
        """Refused: a figure that nothing asks for would be lost in silence."""
        for name in self._figures:
            if name not in self._asked:
                raise Refused(self.field(name), "not-known")
