"""The form of a serial that is compared."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from register.rules.serials import serial_key


@pytest.mark.parametrize(
    "typed", ["0412AB7", "04-12/ab 7", " 0412 ab7 ", "04–12 AB7", "0412\u00a0AB7", "0412ab7"]
)
def test_the_same_serial_typed_in_many_ways_has_one_key(typed: str) -> None:
    assert serial_key(typed) == "0412AB7"


@pytest.mark.parametrize(
    ("one", "other"), [("0412", "412"), ("O412", "0412"), ("I7", "17"), ("A.1", "A1")]
)
def test_serials_that_may_be_two_items_keep_two_keys(one: str, other: str) -> None:
    assert serial_key(one) != serial_key(other)


@given(st.text(max_size=30))
def test_the_key_of_a_key_is_itself(serial: str) -> None:
    assert serial_key(serial_key(serial)) == serial_key(serial)
