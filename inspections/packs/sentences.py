"""Sentences of a pack, each written once and named by its place."""

from __future__ import annotations


class Sentences:
    """Gives each different sentence a place, counted from 0."""

    def __init__(self) -> None:
        self._places: dict[str, int] = {}

    def place(self, sentence: str) -> int:
        """Where the sentence stands in ``all``."""
        return self._places.setdefault(sentence, len(self._places))

    @property
    def all(self) -> list[str]:
        return list(self._places)
