"""Letters in plain text: 72 columns, nothing that breaks a header, long lists cut with their count."""

from __future__ import annotations

import pytest

from register.rules.letters import (
    WIDTH,
    Section,
    letter,
    listing,
    one_line,
    paragraph,
    section_text,
)
from register.rules.message_kinds import WAITS, wait_after

LONG = "Connector of a self-closing and self-locking kind " * 6


def test_lines_end_at_72_columns() -> None:
    for text in (paragraph(LONG), listing([LONG, LONG], "and 3 more")):
        assert max(len(line) for line in text.splitlines()) <= WIDTH


def test_an_address_stays_whole() -> None:
    address = "https://register.example/" + "x" * 90
    assert address in paragraph(f"Look at {address} now").splitlines()


def test_a_list_is_told_with_what_is_cut() -> None:
    section = Section("2 due", "Due:", ["one", "two"], "and 7 more", "https://a.example/due/")
    assert section_text(section) == ("Due:\n- one\n- two\n  and 7 more\n  https://a.example/due/")


@pytest.mark.parametrize(
    "text",
    [
        "Fall at Quay\r\nBcc: all@example.org",
        "Fall at Quay\nBcc: all@example.org",
        "Fall at Quay\u2028Bcc: all@example.org",
        "Fall\x00 at Quay\x0b Bcc: all@example.org",
    ],
)
def test_nothing_in_a_subject_begins_another_header(text: str) -> None:
    assert one_line(text) == "Fall at Quay Bcc: all@example.org"


def test_a_long_subject_is_cut() -> None:
    said = letter("Szelki „Łódź” " * 30, ["text"]).subject
    assert (len(said), said[-1]) == (150, "…")


def test_waits_grow_and_end_within_a_day() -> None:
    assert [wait_after(tries) for tries in range(1, 9)] == [*WAITS, None]
    assert list(WAITS) == sorted(WAITS)
    assert 12 * 60 < sum(WAITS) <= 24 * 60
