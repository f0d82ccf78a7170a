"""The geometry of a strand laid in a rope, as SVG path data."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil
from typing import Final

# A cubic from crest to trough follows a sine closely when its handles lie this
# part of the way along (fitted by eye and by least squares; no source).
HANDLE: Final = 0.3642


@dataclass(frozen=True, slots=True)
class Lay:
    """A strand's way: it starts and ends on the middle, and crosses it `turns` - 1 times between.

    `side` in the methods is 1 for the strand that first goes down, -1 for its partner.
    Crossings are numbered from 1; at odd ones the first strand lies in front.
    """

    left: float
    half: float
    turns: int
    middle: float
    swing: float

    def strand(self, side: int) -> str:
        """The whole strand from end to end."""
        turns = "".join(self._half(side, crossing) for crossing in range(1, self.turns))
        return self._leave(side) + turns + self._return(side)

    def over(self, side: int, crossings: Iterable[int]) -> str:
        """The strand from crest to crest at each of the crossings, to be painted in front."""
        return "".join(
            f"M{number(self._crest(c - 1))} {number(self._level(side, c - 1))}{self._half(side, c)}"
            for c in crossings
        )

    def casing(self, side: int, crossings: Iterable[int]) -> str:
        """A short straight at each crossing: cut out of the strand behind, it shows which is in front."""
        return "".join(self._short(side, c) for c in crossings)

    def _short(self, side: int, crossing: int) -> str:
        """The steep middle of one crossing: three tenths of a half turn to each side."""
        centre, reach = self.left + crossing * self.half, self.half * 0.3
        rise = self._level(side, crossing - 1) - self.middle
        return (
            f"M{number(centre - reach)} {number(self.middle + rise * 0.8)}"
            f"L{number(centre + reach)} {number(self.middle - rise * 0.8)}"
        )

    def _crest(self, index: int) -> float:
        """Where crest or trough `index` lies, counted from 0."""
        return self.left + (index + 0.5) * self.half

    def _level(self, side: int, index: int) -> float:
        """How deep crest or trough `index` lies."""
        return self.middle + self.swing * (side if index % 2 == 0 else -side)

    def _half(self, side: int, crossing: int) -> str:
        """On from crest `crossing` - 1 through the crossing to the next."""
        start, end = self._crest(crossing - 1), self._crest(crossing)
        before, after = self._level(side, crossing - 1), self._level(side, crossing)
        handle = self.half * HANDLE
        return (
            f"C{number(start + handle)} {number(before)} {number(end - handle)} {number(after)} "
            f"{number(end)} {number(after)}"
        )

    def _leave(self, side: int) -> str:
        """From the left end, level with the rope, out to the first crest."""
        level = number(self._level(side, 0))
        bend = number(self.left + self.half * 0.25)
        return (
            f"M{number(self.left)} {number(self.middle)}"
            f"C{bend} {number(self.middle)} {bend} {level} {number(self._crest(0))} {level}"
        )

    def _return(self, side: int) -> str:
        """From the last crest back to the right end, level with the rope again."""
        end = self.left + self.turns * self.half
        level, bend = number(self._level(side, self.turns - 1)), number(end - self.half * 0.25)
        return f"C{bend} {level} {bend} {number(self.middle)} {number(end)} {number(self.middle)}"


def lay_between(left: float, right: float, *, middle: float, swing: float, turn: float) -> Lay:
    """A lay that fits the stretch whole, in half turns no longer than `turn`."""
    turns = max(2, ceil((right - left) / turn))
    return Lay(left, (right - left) / turns, turns, middle, swing)


def number(value: float) -> str:
    """A number short enough for a page with a hundred lines."""
    return f"{value:.1f}".removesuffix(".0")
