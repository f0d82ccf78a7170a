"""No check value lies about unread: each topic of the planning sums is asked for by some test."""

from __future__ import annotations

import ast
from pathlib import Path

from tests.readiness import planning_rows, rescue_vectors
from tests.readiness.test_clearance import SUMS

HERE = Path(__file__).parent


def asked_for() -> set[str]:
    """The topics named in calls of `rows` in the tests beside this one."""
    calls = [
        call
        for file in HERE.glob("test_*.py")
        for call in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "rows"
    ]
    return {
        text.value
        for call in calls
        for text in call.args
        if isinstance(text, ast.Constant) and isinstance(text.value, str)
    }


def test_a_topic_without_a_test_fails() -> None:
    topics = {row.topic for row in planning_rows.all_rows()}
    topics |= {row.topic for row in rescue_vectors.every_row()}
    assert len(planning_rows.all_rows()) == 96
    assert len(topics) > 40
    assert topics - asked_for() - SUMS == set()
