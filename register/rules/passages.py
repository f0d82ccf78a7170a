"""Minutes on foot between zones that contradict each other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

Way = tuple[str, str]

_FAR = 10**9


@dataclass(frozen=True, slots=True)
class Contradiction:
    """The way round, by `via`, takes fewer minutes than the way itself."""

    start: str
    end: str
    minutes: int
    via: str
    round_minutes: int


def contradictions(given: Mapping[Way, int]) -> tuple[Contradiction, ...]:
    """Ways that a walk over others beats; one way given counts for both unless both are given.

    Minutes are the fewest it takes, so no way can be longer than others one after the other.
    """
    ways = {(end, start): minutes for (start, end), minutes in given.items()} | dict(given)
    least, through = dict(ways), dict.fromkeys(ways, "")
    zones = sorted({zone for way in ways for zone in way})
    for via in zones:
        for start, end in ((start, end) for start in zones for end in zones if start != end):
            walk = least.get((start, via), _FAR) + least.get((via, end), _FAR)
            if walk < least.get((start, end), _FAR):
                least[start, end], through[start, end] = walk, via
    return tuple(
        Contradiction(*way, minutes, through[way], least[way])
        for way, minutes in sorted(given.items())
        if least[way] < minutes
    )
