"""The check values of swing and rescue: tests/vectors/rescue-values.csv, a row a value."""

from __future__ import annotations

import csv
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

FILE = Path(__file__).resolve().parents[1] / "vectors" / "rescue-values.csv"


@dataclass(frozen=True)
class Row:
    topic: str
    inputs: dict[str, Any]
    expected: str
    tolerance: str
    source: str

    def holds(self, value: float) -> bool:
        """Within the row's tolerance: per cent of the value expected, or in the row's unit."""
        expected = float(self.expected)
        allowed = float(self.tolerance.rstrip("%"))
        if self.tolerance.endswith("%"):
            allowed *= abs(expected) / 100
        return abs(value - expected) <= allowed


def every_row() -> list[Row]:
    with FILE.open(newline="") as lines:
        return [
            Row(
                line["topic"],
                json.loads(line["inputs"]),
                line["expected"],
                line["tolerance"],
                line["source"],
            )
            for line in csv.DictReader(lines)
        ]


def rows(topic: str) -> pytest.MarkDecorator:
    """Parametrise `row` with the rows of a topic; a topic without rows is a mistake."""
    found = [row for row in every_row() if row.topic == topic]
    assert found, topic
    return pytest.mark.parametrize("row", found, ids=[json.dumps(row.inputs) for row in found])
