"""What may be asked of a contest: how much is to be reached, from where a search stands, without what."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from readiness.rules.demand import Call, Demand, Way


@dataclass(frozen=True, slots=True)
class Aim:
    """At least so many at each call, and at least so many of those counted; None counts all."""

    floors: Mapping[Call, int]
    counted: Call | None
    least: int

    def counts(self, demand: Demand) -> bool:
        return self.counted is None or demand.rank == self.counted

    def reached(self, covered: Iterable[Demand]) -> bool:
        held = list(covered)
        calls = [demand.rank for demand in held]
        return sum(map(self.counts, held)) >= self.least and all(
            calls.count(call) >= floor for call, floor in self.floors.items()
        )


@dataclass(frozen=True, slots=True)
class Standing:
    """What a search has decided: who is covered in which way, and who is still open."""

    kept: Mapping[str, Way]
    open: tuple[str, ...]
    must: frozenset[str] = frozenset()
    """Of the open, those known to be covered one way or another."""
