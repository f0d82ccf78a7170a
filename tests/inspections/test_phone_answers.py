"""What the phone asks before a pass, as the register asks it: the cases that both answer."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from inspections.rules.answering import misfit
from inspections.rules.checklists import Answers, Checklist, Part, Point
from inspections.rules.contents import CardLine, contents_problem
from inspections.rules.verdict import contradiction

VECTORS = Path(__file__).parents[1] / "vectors" / "phone_answers.json"
TOLD = json.loads(VECTORS.read_text(encoding="utf-8"))
UNTOLD = {"accept": "", "how": "look", "grade": "A", "source": "", "status": ""}


def told_point(told: dict[str, Any]) -> Point:
    limits = {name: Decimal(told[name]) for name in ("least", "most", "under") if name in told}
    lists = {name: tuple(told[name]) for name in ("kinds", "must_for") if name in told}
    return Point(**{**UNTOLD, **told, **limits, **lists})


def told_list() -> Checklist:
    part = TOLD["checklist"]["parts"][0]
    points = tuple(told_point(one) for one in part["points"])
    return Checklist("rope", 1, (Part("all", "All", points),))


@pytest.mark.parametrize("case", TOLD["answers"], ids=lambda case: case["what"])
def test_answers_go_with_a_verdict(case: dict[str, Any]) -> None:
    measured = {slug: Decimal(value) for slug, value in case.get("measured", {}).items()}
    told = Answers(
        statement=case.get("statement", ""), points=case.get("answers", {}), measured=measured
    )
    found = misfit(told_list(), case["kind"], case["verdict"], told, case.get("flawed", []))
    assert (found.code if found else None) == case["code"]
    assert case["points"] == ([point.slug for point in found.points] if found else [])


@pytest.mark.parametrize("case", TOLD["contents"], ids=lambda case: case["what"])
def test_a_kit_passes_by_its_card(case: dict[str, Any]) -> None:
    lines = [CardLine("", code, "", code in case["seen"]) for code in case["pieces"]]
    shut, sealed = case["left_shut"], case["sealed"]
    found = contents_problem(case["verdict"], case["kind"], lines, left_shut=shut, sealed=sealed)
    assert found == case["problem"]


@pytest.mark.parametrize("case", TOLD["defects"], ids=lambda case: case["what"])
def test_defects_go_with_a_verdict(case: dict[str, Any]) -> None:
    told = tuple(
        (grade, date.fromisoformat(day) if day else None) for grade, day in case["defects"]
    )
    assert contradiction(case["verdict"], told) == case["code"]
