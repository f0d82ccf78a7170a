"""How much rope a rescue takes, and whether the kit's rope, as it is today, is enough."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from readiness.rules.needs import exceeds
from readiness.rules.sums.ranges import length
from readiness.rules.sums.values import within

TAIL_M: Final = 2.0
"""Left over at the end of the rope (common practice, no source)."""
MOST_RATIO: Final = 20


def lowering_rope(height_m: float, to_device_m: float = 0, tail_m: float = TAIL_M) -> float:
    """A device that stays at the anchor: height + anchor to device + tail, in metres."""
    return (
        length("height_m", height_m) + length("to_device_m", to_device_m) + length("tail_m", tail_m)
    )


def doubled_rope(height_m: float, to_device_m: float = 0, tail_m: float = TAIL_M) -> float:
    """A doubled rope, to be pulled down after: 2 x height + anchor to device + tail, in metres."""
    return lowering_rope(2 * length("height_m", height_m), to_device_m, tail_m)


def hauling_rope(ratio: int, separation_m: float, tail_m: float = TAIL_M) -> float:
    """A simple haul of `ratio` parts: ratio x the most the two blocks are apart + tail, metres."""
    within("ratio", ratio, 1, MOST_RATIO)
    return ratio * length("separation_m", separation_m) + length("tail_m", tail_m)


@dataclass(frozen=True, slots=True)
class Rope:
    """A rope as it is: its length measured since it was last cut back, the kit's greatest height
    by its maker (None where none is stated), whether a stopper stands at its end."""

    actual_m: float
    max_height_m: float | None = None
    stopper: bool = False


@dataclass(frozen=True, slots=True)
class RopeFit:
    """`spare_m` and `height_spare_m` below 0 tell how much is missing; `governs` is `rope` or
    `max-height`, whichever leaves less."""

    need_m: float
    spare_m: float
    height_spare_m: float | None
    stopper: bool

    @property
    def enough(self) -> bool:
        return not exceeds(0, self.spare_m) and not exceeds(0, self.height_spare_m or 0)

    @property
    def governs(self) -> str:
        above = self.height_spare_m
        return "max-height" if above is not None and above < self.spare_m else "rope"


def rope_fit(need_m: float, height_m: float, rope: Rope) -> RopeFit:
    """The rope there is against the rope needed, and the height against the maker's limit."""
    limit = rope.max_height_m
    height = length("height_m", height_m)
    return RopeFit(
        need_m=length("need_m", need_m, 0, MOST_RATIO * 1000),
        spare_m=length("actual_m", rope.actual_m) - need_m,
        height_spare_m=None if limit is None else length("max_height_m", limit) - height,
        stopper=rope.stopper,
    )


def pole_spare(to_casualty_m: float, pole_m: float) -> float:
    """What a remote attach pole has to spare from where its user stands to the casualty's
    attachment; below 0 it is too short. Metres."""
    return length("pole_m", pole_m) - length("to_casualty_m", to_casualty_m)
