"""The worked scenarios: invented sites and people; the rule they show is our own."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from readiness.rules.cover import answers
from readiness.rules.situation import Situation
from readiness.rules.what_if import as_json, read_what_if

VECTORS = Path(__file__).parents[1] / "vectors" / "cover-scenarios.json"
TEXT = VECTORS.read_text(encoding="utf-8")
EXPECTED = {scenario["id"]: scenario["expect"] for scenario in json.loads(TEXT)["scenarios"]}
SITUATIONS = read_what_if(TEXT)


@pytest.mark.parametrize(
    ("scenario_id", "situation"), SITUATIONS, ids=[scenario_id for scenario_id, _ in SITUATIONS]
)
def test_each_worked_scenario_gets_exactly_its_answer(
    scenario_id: str, situation: Situation
) -> None:
    assert as_json(answers(situation)) == EXPECTED[scenario_id]


def test_no_worked_scenario_is_left_out() -> None:
    assert [scenario_id for scenario_id, _ in SITUATIONS] == list(EXPECTED)
    assert len(SITUATIONS) == 23
