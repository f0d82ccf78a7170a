"""Why a file as a whole cannot be read."""

from __future__ import annotations

from collections.abc import Mapping

Facts = Mapping[str, str | int]


class Unreadable(Exception):
    """A code and its facts; register.intake.wording makes the sentence."""

    def __init__(self, code: str, facts: Facts | None = None) -> None:
        super().__init__(code)
        self.code = code
        self.facts: Facts = facts or {}
