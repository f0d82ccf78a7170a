"""Whether the answers to a checklist fit the verdict; told as a code and the points it is about."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from inspections.rules.checklists import (
    Answers,
    Checklist,
    Point,
    for_kind,
    must_measure,
    unanswered,
)
from inspections.rules.item_facts import PASSES


@dataclass(frozen=True, slots=True)
class Misfit:
    """Why the answers and the verdict do not go together: a code, and which points."""

    code: str
    points: tuple[Point, ...]


def misfit(
    found: Checklist, kind: str, verdict: str, told: Answers, flawed: Collection[str]
) -> Misfit | None:
    """The first thing wrong, None where all fits. ``flawed``: the points that a defect names.

    Only a pass is held up: bad news waits for no tick.
    """
    if verdict not in PASSES:
        return None
    asked = for_kind(found, kind)
    bad = _said(asked, told, "not-ok")
    outside = tuple(
        point for point in asked.points if point not in bad and _is_outside(point, told)
    )
    unnamed = tuple(point for point in bad if point.slug not in flawed)
    barring = tuple(point for point in bad if point.if_not == "fail")
    unmeasured = tuple(p for p in must_measure(found, kind) if not _is_settled(p, told))
    checks = (
        ("outside-limits", outside),
        ("point-takes-it-out", barring),
        ("not-a-plain-pass", bad if verdict == "pass" else ()),
        ("defect-unwritten", unnamed),
        ("unmeasured", unmeasured),
        ("unanswered", unanswered(asked, told)),
    )
    return next((Misfit(code, points) for code, points in checks if points), None)


def unknown_points(found: Checklist, told: Answers) -> tuple[str, ...]:
    """Answers to points that this version does not have."""
    known = {point.slug for point in found.points}
    return tuple(sorted({*told.points, *told.measured} - known))


def _said(asked: Checklist, told: Answers, answer: str) -> tuple[Point, ...]:
    return tuple(point for point in asked.points if told.points.get(point.slug) == answer)


def _is_outside(point: Point, told: Answers) -> bool:
    measured = told.measured.get(point.slug)
    return measured is not None and not point.is_within(measured)


def _is_settled(point: Point, told: Answers) -> bool:
    """Measured, or said in so many words not to apply."""
    return point.slug in told.measured or told.points.get(point.slug) == "not-applicable"
