"""A side view to scale: named shapes in metres, from which a drawing and a list of words are made.

`x` runs along, `z` up, 0 is the walking surface. One metre along is one metre up: there
is one scale. Only the picture of a rescue may leave out a stretch of height (`Break`), never that
of a clearance.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final, Literal

from readiness.rules.sums.plan_view import Point

Kind = Literal["line", "area", "circle"]

BREAK_M: Final = 1.0
"""How high the gap of a break line is drawn, in the picture's metres."""


@dataclass(frozen=True, slots=True)
class Shape:
    """`role` says what it is ('anchor', 'hanging' ...), `name` what people call it. A circle has
    its middle as its one point."""

    role: str
    kind: Kind
    points: tuple[Point, ...]
    radius_m: float = 0
    name: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """Words to stand at a place in the picture: a code and the figures of its sentence; `side` is
    where they stand, seen from the place."""

    code: str
    at: Point
    facts: Mapping[str, object] = field(default_factory=lambda: MappingProxyType({}))
    align: Literal["start", "middle", "end"] = "start"
    side: Literal["above", "below", "level"] = "level"


@dataclass(frozen=True, slots=True)
class Span:
    """One length of a column, from `top_m` down over `metres`."""

    code: str
    top_m: float
    metres: float

    @property
    def bottom_m(self) -> float:
        return self.top_m - self.metres


@dataclass(frozen=True, slots=True)
class Column:
    """Lengths stacked in one upright bar beside the picture: `needed` or `clear`, with the length
    of them all and the plane below which it is told."""

    code: str
    spans: tuple[Span, ...]
    total_m: float
    plane: str


@dataclass(frozen=True, slots=True)
class Break:
    """Height left out of the picture, from `low_m` up to `high_m`."""

    low_m: float
    high_m: float


@dataclass(frozen=True, slots=True)
class Scene:
    """All that a picture shows. `box` is left, right, bottom, top. `kind` is `clearance`, `swing`
    or `rescue`; `facts` are the figures its list of words tells beside the shapes."""

    kind: str
    shapes: tuple[Shape, ...]
    box: tuple[float, float, float, float]
    notes: tuple[Note, ...] = ()
    columns: tuple[Column, ...] = ()
    gap: Break | None = None
    facts: Mapping[str, object] = field(default_factory=lambda: MappingProxyType({}))

    def of(self, role: str) -> tuple[Shape, ...]:
        return tuple(shape for shape in self.shapes if shape.role == role)

    def drawn_z(self, height_m: float) -> float:
        """Where a height stands in the picture, with what the break line leaves out taken away."""
        if self.gap is None or height_m <= self.gap.low_m:
            return height_m
        left_out = self.gap.high_m - self.gap.low_m - BREAK_M
        if height_m >= self.gap.high_m:
            return height_m - left_out
        share = (height_m - self.gap.low_m) / (self.gap.high_m - self.gap.low_m)
        return self.gap.low_m + share * BREAK_M


def extent(shape: Shape) -> tuple[float, float, float, float]:
    """Left, right, bottom and top of a shape."""
    xs, zs = [x for x, _ in shape.points], [z for _, z in shape.points]
    r = shape.radius_m
    return min(xs) - r, max(xs) + r, min(zs) - r, max(zs) + r


def box_around(
    shapes: Sequence[Shape], aside_m: float, above_m: float, below_m: float
) -> tuple[float, float, float, float]:
    """The smallest box that holds all shapes, with some room on each side."""
    ends = [extent(shape) for shape in shapes]
    return (
        min(end[0] for end in ends) - aside_m,
        max(end[1] for end in ends) + aside_m,
        min(end[2] for end in ends) - below_m,
        max(end[3] for end in ends) + above_m,
    )


def stacked(start_m: float, lengths: Sequence[tuple[str, float]]) -> Iterator[Span]:
    """Lengths one below the other, from a height downwards; nothing of what has no length."""
    top = start_m
    for name, metres in lengths:
        if metres > 0:
            yield Span(name, top, metres)
        top -= metres
