"""Shares of a whole along the weeks, drawn as columns: a frame for one share, filled for another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

GAP = 0.25
"""Of a column's room, what is left free beside it."""


@dataclass(frozen=True, slots=True)
class Column:
    """Where a column stands and how high the frame and the filling reach, from the top down."""

    left: float
    width: float
    frame_top: float
    frame_height: float
    fill_top: float
    fill_height: float


def columns(
    shares: Sequence[tuple[float, float] | None], width: float, height: float
) -> tuple[Column | None, ...]:
    """A column for each pair of shares (0 to 1, the second no greater); None leaves its room empty."""
    room = width / max(1, len(shares))
    return tuple(
        None if pair is None else _column(place * room, room * (1 - GAP), pair, height)
        for place, pair in enumerate(shares)
    )


def _column(left: float, width: float, pair: tuple[float, float], height: float) -> Column:
    frame, fill = (round(share * height, 2) for share in pair)
    return Column(
        left=round(left, 2),
        width=round(width, 2),
        frame_top=round(height - frame, 2),
        frame_height=frame,
        fill_top=round(height - fill, 2),
        fill_height=fill,
    )
