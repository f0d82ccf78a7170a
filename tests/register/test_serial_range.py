"""Consecutive serials, with the zeros that spreadsheets eat."""

from __future__ import annotations

import pytest

from register.rules.serial_range import MOST_SERIALS, serial_range


def test_leading_zeros_stay() -> None:
    assert serial_range("HT-0098", 3) == ["HT-0098", "HT-0099", "HT-0100"]


def test_only_the_digits_at_the_end_count() -> None:
    assert serial_range("24A7-009", 2) == ["24A7-009", "24A7-010"]


def test_one_is_a_range() -> None:
    assert serial_range("0007", 1) == ["0007"]


@pytest.mark.parametrize("count", [0, -1, MOST_SERIALS + 1])
def test_a_count_out_of_reach_is_refused(count: int) -> None:
    with pytest.raises(ValueError, match="is not a number from 1 to 500"):
        serial_range("A0001", count)


def test_serials_never_grow_longer() -> None:
    with pytest.raises(ValueError, match="need more digits"):
        serial_range("A98", 3)


def test_what_does_not_end_in_digits_is_refused() -> None:
    with pytest.raises(ValueError, match="does not end in digits"):
        serial_range("0412-A", 3)
