"""How a source is known: nothing claims to have been read that was not."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings

FILES = sorted(
    file
    for room in ("schemes", "checklists")
    for file in (settings.BASE_DIR / "fixtures" / room).glob("*.json")
)
SECOND_HAND = re.compile(r"paraphrase|second hand|from memory|as quoted", re.IGNORECASE)
SOLD = re.compile(r"^(EN|BS|ISO|CEN|DIN)\b")
"""European standards, whose full texts nobody here had: second hand at best."""


def lines(value: object) -> Iterator[dict[str, str]]:
    """Everything in a file that names its source."""
    if isinstance(value, dict):
        if "source" in value and "status" in value:
            yield value
        for each in value.values():
            yield from lines(each)
    elif isinstance(value, list):
        for each in value:
            yield from lines(each)


@pytest.mark.parametrize("file", FILES, ids=lambda file: f"{file.parent.name}-{file.stem}")
def test_only_what_was_seen_in_the_source_itself_is_told_as_read(file: Path) -> None:
    found = list(lines(json.loads(file.read_text(encoding="utf-8"))))
    claimed = [line["source"] for line in found if line["status"] == "read"]

    assert found
    assert [said for said in claimed if SECOND_HAND.search(said) or SOLD.match(said)] == []
