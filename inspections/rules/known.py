"""What was on record at a past moment: a record made later, or a later correction, was not known."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Generic, TypeVar

from register.rules.conditions import CONDITIONS

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Recorded(Generic[T]):
    """A record, the moment it was made, and the key of the record whose place it took."""

    key: object
    recorded_at: datetime
    replaces: object | None
    what: T


@dataclass(frozen=True, slots=True)
class Turn:
    """A change of condition as the ledger has it, and why where it was a quarantine."""

    at: datetime
    before: str
    after: str
    reason: str = ""


def known_at(records: Iterable[Recorded[T]], moment: datetime) -> tuple[Recorded[T], ...]:
    """The records that stood at the moment: made by then, and not yet corrected by then."""
    made = [one for one in records if one.recorded_at <= moment]
    replaced = {one.replaces for one in made if one.replaces is not None}
    return tuple(one for one in made if one.key not in replaced)


def condition_at(turns: Sequence[Turn], moment: datetime, otherwise: str) -> tuple[str, str]:
    """The condition at the moment and the reason of a quarantine; ``otherwise`` without any turn."""
    real = sorted((one for one in turns if one.after in CONDITIONS), key=lambda one: one.at)
    before = [one for one in real if one.at <= moment]
    if before:
        return before[-1].after, before[-1].reason
    return (real[0].before, "") if real else (otherwise, "")
