"""The sign of the house: a task's states along its days, drawn as a rescue line."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil
from typing import Final

COVERED_WITH_BACKUP: Final = "covered-with-backup"
COVERED_NO_BACKUP: Final = "covered-no-backup"
NOT_COVERED: Final = "not-covered"
NOT_ASSESSED: Final = "not-assessed"
NO_COVER_NEEDED: Final = "no-rescue-cover-needed"
NOT_WORKED: Final = "not-worked"

# One cubic from a crest to the next trough follows a sine within a hundredth
# when its handles lie this part of the way along.
SINE_HANDLE: Final = 0.3642
# A stretch of rope at each side of a break before the hairs part, in heights.
STUB: Final = 0.45


@dataclass(frozen=True, slots=True)
class Segment:
    """One path of the drawing: what it is (a class for the sheet), how thick, where."""

    kind: str
    thickness: float
    path: str


@dataclass(frozen=True, slots=True)
class Run:
    """Days in a row with the same state, by index, and where they lie across the drawing."""

    state: str
    first: int
    last: int
    left: float
    right: float


@dataclass(frozen=True, slots=True)
class Drawing:
    """A line ready to be written as SVG; segments in the order in which they are painted."""

    width: int
    height: int
    runs: tuple[Run, ...]
    segments: tuple[Segment, ...]


def strands(days: Sequence[str], width: int, height: int) -> Drawing:
    """Draw one state a day. Anything that is not a state of cover is a ValueError.

    Two strands: covered, with backup. One: covered, hanging on one thing. A break
    with frayed ends: not covered. Dots: not assessed. A thin flat rule: no cover
    needed. Nothing: not worked; the rope beside it ends in a whipping.
    """
    if unknown := sorted(set(days) - PAINTERS.keys()):
        raise ValueError(f"not a state that can be drawn: {', '.join(unknown)}")
    runs = _runs(days, width)
    painted = [segment for run in runs for segment in PAINTERS[run.state](run, height)]
    return Drawing(
        width=width,
        height=height,
        runs=runs,
        segments=(*painted, *_whippings(runs, height), *_ticks(len(days), width, height)),
    )


def _runs(days: Sequence[str], width: int) -> tuple[Run, ...]:
    """Gather days in a row with the same state."""
    runs: list[Run] = []
    first = 0
    for state, group in groupby(days):
        last = first + len(list(group)) - 1
        left, right = width * first / len(days), width * (last + 1) / len(days)
        runs.append(Run(state, first, last, left, right))
        first = last + 1
    return tuple(runs)


def _rope(run: Run, height: int) -> tuple[Segment, ...]:
    """Two strands laid round each other: the one in front changes at each crossing."""
    lay = _lay(run, height)
    thick = height * 0.2
    front_a = lay.pieces(1, range(0, lay.halves, 2))
    front_b = lay.pieces(-1, range(1, lay.halves, 2))
    whole = range(lay.halves)
    return (
        Segment("strand-b", thick, lay.pieces(-1, whole)),
        Segment("strand-a", thick, lay.pieces(1, whole)),
        Segment("casing", thick * 1.6, lay.pieces(-1, range(1, lay.halves, 2), trim=0.2)),
        Segment("strand-b", thick, front_b),
        Segment("casing", thick * 1.6, lay.pieces(1, range(0, lay.halves, 2), trim=0.2)),
        Segment("strand-a", thick, front_a),
    )


def _single(run: Run, height: int) -> tuple[Segment, ...]:
    """The same lay with one strand gone."""
    lay = _lay(run, height)
    return (Segment("strand-a", height * 0.16, lay.pieces(1, range(lay.halves))),)


def _break(run: Run, height: int) -> tuple[Segment, ...]:
    """A stub at either side, its hairs parting, and nothing between."""
    middle = height * 0.45
    reach = min((run.right - run.left) * 0.42, height * 1.1)
    stub = reach * STUB
    stubs, hairs = [], []
    for edge, way in ((run.left, 1), (run.right, -1)):
        start = edge + way * stub
        stubs.append(f"M{_n(edge)} {_n(middle)}H{_n(start)}")
        for lift in (-0.34, -0.1, 0.16, 0.4):
            tip = edge + way * reach * (1 - abs(lift) * 0.6)
            bend = start + way * (reach - stub) * 0.55
            hairs.append(
                f"M{_n(start)} {_n(middle)}Q{_n(bend)} {_n(middle)} "
                f"{_n(tip)} {_n(middle + lift * height)}"
            )
    return (
        Segment("stub", height * 0.2, "".join(stubs)),
        Segment("fray", height * 0.075, "".join(hairs)),
    )


def _dots(run: Run, height: int) -> tuple[Segment, ...]:
    """A row of dots, each a stroke of no length with round ends."""
    middle = height * 0.45
    count = max(2, round((run.right - run.left) / (height * 0.5)))
    step = (run.right - run.left) / count
    path = "".join(f"M{_n(run.left + step * (i + 0.5))} {_n(middle)}h0" for i in range(count))
    return (Segment("dots", height * 0.16, path),)


def _flat(run: Run, height: int) -> tuple[Segment, ...]:
    """A thin rule: nobody hangs on a rope here."""
    return (Segment("flat", height * 0.05, f"M{_n(run.left)} {_n(height * 0.45)}H{_n(run.right)}"),)


def _nothing(_run: Run, _height: int) -> tuple[Segment, ...]:
    """No work that day."""
    return ()


PAINTERS: Final[dict[str, Callable[[Run, int], tuple[Segment, ...]]]] = {
    COVERED_WITH_BACKUP: _rope,
    COVERED_NO_BACKUP: _single,
    NOT_COVERED: _break,
    NOT_ASSESSED: _dots,
    NO_COVER_NEEDED: _flat,
    NOT_WORKED: _nothing,
}


def _whippings(runs: Sequence[Run], height: int) -> Iterable[Segment]:
    """Bind the ends of a rope that stops where no work is, as a rigger would."""
    covered = {COVERED_WITH_BACKUP, COVERED_NO_BACKUP}
    thick = height * 0.14
    ends: list[float] = []
    for index, run in enumerate(runs):
        if run.state in covered:
            before = runs[index - 1].state if index else NOT_WORKED
            after = runs[index + 1].state if index + 1 < len(runs) else NOT_WORKED
            ends += [run.left + thick / 2] if before == NOT_WORKED else []
            ends += [run.right - thick / 2] if after == NOT_WORKED else []
    if ends:
        path = "".join(f"M{_n(x)} {_n(height * 0.16)}V{_n(height * 0.74)}" for x in ends)
        yield Segment("whip", thick, path)


def _ticks(count: int, width: int, height: int) -> Iterable[Segment]:
    """A short mark under each change of day, so that days can be counted."""
    if count > 1:
        marks = (f"M{_n(width * i / count)} {_n(height)}v{_n(-height * 0.1)}" for i in range(count))
        yield Segment("ticks", 1, "".join(marks) + f"M{width} {height}v{_n(-height * 0.1)}")


@dataclass(frozen=True, slots=True)
class _Lay:
    """A strand's way along a run: half turns of equal length from crest to crest."""

    left: float
    half: float
    halves: int
    middle: float
    swing: float

    def pieces(self, side: int, which: Iterable[int], trim: float = 0) -> str:
        """The half turns asked for, of the strand that begins at `side` (1 below, -1 above)."""
        return "".join(self._piece(side if i % 2 == 0 else -side, i, trim) for i in which)

    def _piece(self, side: int, index: int, trim: float) -> str:
        """One half turn; trimmed, only its straight middle where the strands cross."""
        x, y = self.left + index * self.half, self.swing * side
        if trim:
            reach, rise = self.half * (0.5 - trim), y * (1 - 2 * trim) * 1.35
            centre = x + self.half / 2
            return (
                f"M{_n(centre - reach)} {_n(self.middle + rise)}"
                f"L{_n(centre + reach)} {_n(self.middle - rise)}"
            )
        handle = self.half * SINE_HANDLE
        return (
            f"M{_n(x)} {_n(self.middle + y)}C{_n(x + handle)} {_n(self.middle + y)} "
            f"{_n(x + self.half - handle)} {_n(self.middle - y)} "
            f"{_n(x + self.half)} {_n(self.middle - y)}"
        )


def _lay(run: Run, height: int) -> _Lay:
    """Turns that fit the run whole, about as long as the rope is thick."""
    length = run.right - run.left
    halves = max(2, ceil(length / (height * 0.62)))
    return _Lay(run.left, length / halves, halves, height * 0.45, height * 0.2)


def _n(value: float) -> str:
    """A number short enough for a page with a hundred lines."""
    return f"{value:.1f}".removesuffix(".0")
