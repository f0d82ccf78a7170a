"""The check values of swing and rescue: tests/vectors/rescue-values.csv, a row a value."""

from __future__ import annotations

import json

import pytest

from tests.readiness.planning_rows import VALUES, Row, read

FILE = VALUES.with_name("rescue-values.csv")


def every_row() -> list[Row]:
    return read(FILE)


def rows(topic: str) -> pytest.MarkDecorator:
    """Parametrise `row` with the rows of a topic; a topic without rows is a mistake."""
    found = [row for row in every_row() if row.topic == topic]
    assert found, topic
    return pytest.mark.parametrize("row", found, ids=[json.dumps(row.inputs) for row in found])
