"""The sign of the house: a task's states along its days, drawn as a rescue line."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from operator import itemgetter
from typing import Final

from readiness.rules.lay import Lay, lay_between, number

COVERED_WITH_BACKUP: Final = "covered-with-backup"
COVERED_NO_BACKUP: Final = "covered-no-backup"
NOT_COVERED: Final = "not-covered"
NOT_ASSESSED: Final = "not-assessed"
NO_COVER_NEEDED: Final = "no-rescue-cover-needed"
NOT_WORKED: Final = "not-worked"

# Parts of the height: where the line runs (days are marked below it), how far a
# strand swings from there, how long a half turn may be.
MIDDLE: Final = 0.44
SWING: Final = 0.22
TURN: Final = 0.6
# The hairs of a frayed end: how far each ends from the middle, in heights.
HAIRS: Final = (-0.36, -0.14, 0.08, 0.32)


@dataclass(frozen=True, slots=True)
class Segment:
    """One path of the drawing: what it is (a class for the sheet), how thick, where."""

    kind: str
    thickness: float
    path: str


@dataclass(frozen=True, slots=True)
class Run:
    """Days or pieces in a row with the same state, by index, and where they lie in the drawing."""

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
    runs = _runs([(state, 1) for state in days], width)
    return _painted(runs, _Frame(width, height, len(days)))


def strip(pieces: Sequence[tuple[str, float]], width: int, height: int, marks: int) -> Drawing:
    """Draw states that last as long as is said, such as the hours of one day, over `marks` parts."""
    return _painted(_runs(pieces, width), _Frame(width, height, marks))


@dataclass(frozen=True, slots=True)
class _Frame:
    width: int
    height: int
    marks: int


def _painted(runs: tuple[Run, ...], frame: _Frame) -> Drawing:
    if unknown := sorted({run.state for run in runs} - PAINTERS.keys()):
        raise ValueError(f"not a state that can be drawn: {', '.join(unknown)}")
    height = frame.height
    painted = [segment for run in runs for segment in PAINTERS[run.state](run, height)]
    ticks = _ticks(frame.marks, frame.width, height)
    return Drawing(
        width=frame.width,
        height=height,
        runs=runs,
        segments=(*painted, *_whippings(runs, height), *ticks),
    )


def _runs(pieces: Sequence[tuple[str, float]], width: int) -> tuple[Run, ...]:
    """Gather neighbours with the same state."""
    whole = sum(length for _, length in pieces)
    runs: list[Run] = []
    first, gone = 0, 0.0
    for state, group in groupby(pieces, key=itemgetter(0)):
        lengths = [length for _, length in group]
        left, gone = width * gone / whole, gone + sum(lengths)
        runs.append(Run(state, first, first + len(lengths) - 1, left, width * gone / whole))
        first += len(lengths)
    return tuple(runs)


def _rope(run: Run, height: int) -> tuple[Segment, ...]:
    """Two strands laid round each other: the one in front changes at each crossing."""
    lay = _lay(run, height)
    thick = height * 0.2
    odd, even = range(1, lay.turns, 2), range(2, lay.turns, 2)
    return (
        Segment("strand-b", thick, lay.strand(-1)),
        Segment("strand-a", thick, lay.strand(1)),
        Segment("casing", thick * 1.65, lay.casing(-1, even)),
        Segment("strand-b", thick, lay.over(-1, even)),
        Segment("casing", thick * 1.65, lay.casing(1, odd)),
        Segment("strand-a", thick, lay.over(1, odd)),
    )


def _single(run: Run, height: int) -> tuple[Segment, ...]:
    """The same lay with one strand gone."""
    return (Segment("strand-a", height * 0.14, _lay(run, height).strand(1)),)


def _lay(run: Run, height: int) -> Lay:
    return lay_between(
        run.left, run.right, middle=height * MIDDLE, swing=height * SWING, turn=height * TURN
    )


def _break(run: Run, height: int) -> tuple[Segment, ...]:
    """A stub at either side, its hairs parting, and nothing between."""
    reach = min((run.right - run.left) * 0.44, height * 1.5)
    ends = ((run.left, reach), (run.right, -reach))
    middle = number(height * MIDDLE)
    stubs = (f"M{number(edge)} {middle}h{number(way * 0.36)}" for edge, way in ends)
    hairs = (_hair(edge, way, lift, height) for edge, way in ends for lift in HAIRS)
    return (
        Segment("stub", height * 0.2, "".join(stubs)),
        Segment("fray", height * 0.07, "".join(hairs)),
    )


def _hair(edge: float, way: float, lift: float, height: int) -> str:
    """One hair of a frayed end: along the rope at first, then away from it."""
    start, tip = edge + way * 0.34, edge + way * (1 - abs(lift) * 0.7)
    middle, level = height * MIDDLE, height * (MIDDLE + lift)
    return (
        f"M{number(start)} {number(middle + lift * height * 0.2)}"
        f"C{number(start + (tip - start) * 0.5)} {number(middle + lift * height * 0.2)} "
        f"{number(start + (tip - start) * 0.6)} {number(level)} {number(tip)} {number(level)}"
    )


def _dots(run: Run, height: int) -> tuple[Segment, ...]:
    """A row of dots, each a stroke of no length with round ends."""
    count = max(2, round((run.right - run.left) / (height * 0.5)))
    step = (run.right - run.left) / count
    middle = number(height * MIDDLE)
    places = (number(run.left + step * (i + 0.5)) for i in range(count))
    return (Segment("dots", height * 0.16, "".join(f"M{x} {middle}h0" for x in places)),)


def _flat(run: Run, height: int) -> tuple[Segment, ...]:
    """A thin rule: nobody hangs on a rope here."""
    path = f"M{number(run.left)} {number(height * MIDDLE)}H{number(run.right)}"
    return (Segment("flat", height * 0.05, path),)


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


def _whippings(runs: Sequence[Run], height: int) -> Iterator[Segment]:
    """Bind the ends of a rope that stops where no work is, as a rigger would."""
    thick = height * 0.13
    states = (NOT_WORKED, *(run.state for run in runs), NOT_WORKED)
    ends: list[float] = []
    for run, before, after in zip(runs, states, states[2:], strict=False):
        if run.state in {COVERED_WITH_BACKUP, COVERED_NO_BACKUP}:
            ends += [run.left + thick / 2] if before == NOT_WORKED else []
            ends += [run.right - thick / 2] if after == NOT_WORKED else []
    if ends:
        top, bottom = number(height * (MIDDLE - 0.2)), number(height * (MIDDLE + 0.2))
        path = "".join(f"M{number(x)} {top}V{bottom}" for x in ends)
        yield Segment("whip", thick, path)


def _ticks(count: int, width: int, height: int) -> Iterator[Segment]:
    """A short mark at each change of day or hour, so that they can be counted."""
    if count > 1:
        mark = f" {height}v{number(-height * 0.1)}"
        path = "".join(f"M{number(width * i / count)}{mark}" for i in range(count + 1))
        yield Segment("ticks", 1, path)
