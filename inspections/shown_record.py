"""An inspection's answers and defects in the words of the version it was judged by."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from inspections.checklist_wording import (
    answer_name,
    how_words,
    if_not_words,
    statement_words,
    worded,
)
from inspections.models import Defect, Inspection
from inspections.regime_wording import status_words
from inspections.rules.checklists import Checklist, Part, Point, for_kind


@dataclass(frozen=True, slots=True)
class AnswerShown:
    """One point as it was worded then, and what was said of it."""

    point: Point
    how: str
    if_not: str
    answer: str
    measured: str
    status: str


@dataclass(frozen=True, slots=True)
class DefectShown:
    """A defect, and the point at which it was found, as worded then."""

    defect: Defect
    point: str


def answers_shown(one: Inspection) -> list[tuple[Part, list[AnswerShown]]]:
    """Every point of the version kept, for this kind, part by part."""
    if one.checklist is None:
        return []
    found = for_kind(worded(one.checklist.checklist), one.kind)
    return [(part, [_shown(one, point) for point in part.points]) for part in found.parts]


def statement_shown(one: Inspection) -> str:
    """What was said of the points as a whole, or that there was no list."""
    if one.checklist is None:
        return _("No checklist is named in this record")
    return statement_words(one.statement)


def defects_shown(one: Inspection) -> list[DefectShown]:
    """The defects with their points in words."""
    found = worded(one.checklist.checklist) if one.checklist else None
    return [DefectShown(defect, _look(found, defect.point)) for defect in one.defects.all()]


def _shown(one: Inspection, point: Point) -> AnswerShown:
    told, figure = one.answers.get(point.slug), one.measured.get(point.slug)
    # A statement on all the points is told once above them, and not as so many ticks.
    unsaid = _("as stated") if one.statement else _("nothing said")
    answer = answer_name(told) if told else unsaid
    measured = f"{figure} {point.unit}".strip() if figure else ""
    status = status_words(point.status)
    return AnswerShown(point, how_words(point), if_not_words(point), answer, measured, status)


def _look(found: Checklist | None, slug: str) -> str:
    points = found.points if found and slug else ()
    return next((point.look for point in points if point.slug == slug), "")
