"""The answers to a what-if file, by scenario and task; the command and the API ask here alike."""

from __future__ import annotations

from readiness.rules.cover import answers
from readiness.rules.what_if import as_json, read_what_if

Told = dict[str, dict[str, dict[str, object]]]


def answered(content: str) -> Told:
    """Raises MalformedFile with line, key and expectation."""
    return {scenario: as_json(answers(situation)) for scenario, situation in read_what_if(content)}
