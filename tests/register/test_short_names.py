"""Names for the wall: the first name and as few letters more as tell people apart."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from register.rules.short_names import short_names

NAME = st.lists(st.text("abcMD", min_size=1, max_size=5), min_size=1, max_size=3).map(" ".join)


def test_a_name_on_the_wall_is_the_first_name_and_an_initial() -> None:
    assert short_names(["Morag Dunnet", "Huw Penry"]) == {
        "Morag Dunnet": "Morag D.",
        "Huw Penry": "Huw P.",
    }


def test_two_of_one_first_name_and_initial_get_as_many_letters_as_tell_them_apart() -> None:
    short = short_names(["Jan Kowal", "Jan Kowalski", "Jan Nowak"])
    assert set(short.values()) == {"Jan Kowal", "Jan Kowals.", "Jan N."}


def test_a_name_of_one_word_stands_as_it_is() -> None:
    assert short_names(["Cher"]) == {"Cher": "Cher"}


@given(st.lists(NAME, max_size=6, unique_by=str.casefold))
def test_no_two_names_are_told_as_one(names: list[str]) -> None:
    short = short_names(names)
    assert len({one.casefold() for one in short.values()}) == len(names)
