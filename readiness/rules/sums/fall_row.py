"""Anchors in a row, a rail or a line, and the work along it: where within it nobody swings too far."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from readiness.rules.sums.given import Given
from readiness.rules.sums.swing_zone import Stretch, gaps_along, zone_along
from readiness.rules.sums.values import Refused, within

ALONG_M = (-1000.0, 1000.0)


@dataclass(frozen=True, slots=True)
class Row:
    """Places along a straight line, in metres; `runs`: one may be anchored anywhere from the first to
    the last, as on a rail. The work runs `aside_m` beside it."""

    at_m: tuple[float, ...]
    work: Stretch
    aside_m: float = 0.0
    runs: bool = False


def read_row(given: Given) -> Row | None:
    """None where no place is given."""
    points, told = given.rows("row"), given.inner("row_work")
    if not points and told is None:
        return None
    at = tuple(sorted(_at(point) for point in points))
    if told is None:
        raise Refused("row_work.from_m", "missing", *ALONG_M)
    start, end = (
        within(told.field(name), told.number(name), *ALONG_M) for name in ("from_m", "to_m")
    )
    aside = within(told.field("aside_m"), told.number_or("aside_m", 0), 0, 50)
    found = Row(at, Stretch(start, end), aside, told.flag("runs"))
    told.end()
    if end <= start:
        raise Refused("row_work.to_m", "out-of-range", start, value=end)
    if not at or (found.runs and len(at) < 2):  # noqa: PLR2004 - a rail has two ends
        raise Refused("row", "too-few-anchors", 2 if found.runs else 1)
    return found


def _at(point: Given) -> float:
    found = within(point.field("at_m"), point.number("at_m"), *ALONG_M)
    point.end()
    return found


def covered(row: Row, radius_m: float) -> tuple[Stretch, ...]:
    """The stretches beside the row that lie within the radius of where one may be anchored."""
    if not row.runs:
        return zone_along(row.at_m, radius_m, row.aside_m)
    if row.aside_m > radius_m:
        return ()
    half = sqrt(radius_m * radius_m - row.aside_m * row.aside_m)
    return (Stretch(row.at_m[0] - half, row.at_m[-1] + half),)


def outside(row: Row, radius_m: float) -> tuple[Stretch, ...]:
    """What of the work lies outside."""
    return gaps_along(row.work, covered(row, radius_m))
