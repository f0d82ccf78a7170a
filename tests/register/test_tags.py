"""Tag codes: the check character, what we give out, and what we make of what people type."""

from __future__ import annotations

import csv
import random
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_36

from register.rules import tags
from register.rules.tags import TagRead

VECTORS = Path(__file__).parent.parent / "vectors" / "iso7064.csv"
ISO = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
KNOWN = "H7K2PD3"  # body made up for these tests, check character by python-stdnum


def codes() -> st.SearchStrategy[str]:
    return st.randoms(use_true_random=False).map(lambda source: tags.code_from(source.randrange))


@pytest.mark.parametrize("row", list(csv.DictReader(VECTORS.open())), ids=lambda row: row["body"])
def test_the_check_character_agrees_with_worked_examples(row: dict[str, str]) -> None:
    assert tags.check_character(row["body"]) == row["check"]


@given(st.text(alphabet=ISO, min_size=1, max_size=20))
def test_the_check_character_agrees_with_python_stdnum(body: str) -> None:
    assert tags.check_character(body) == mod_37_36.calc_check_digit(body)


@given(codes())
def test_every_code_given_out_is_sound_and_easy_to_read(code: str) -> None:
    assert mod_37_36.is_valid(code)
    assert len(code) == 7
    assert set(code) <= set("23456789CDFHJKMNPRTVWXY")


@pytest.mark.parametrize("mark", "01OILQAESZGBU")
def test_a_code_with_a_mark_that_is_easily_misread_is_never_given_out(mark: str) -> None:
    ends_in_it = next(
        body + mark
        for body in map(tags.body_from, range(5000))
        if mod_37_36.calc_check_digit(body) == mark
    )
    assert mod_37_36.is_valid(ends_in_it)
    assert not tags.is_giveable(ends_in_it)


@given(codes())
def test_every_single_wrong_character_is_caught(code: str) -> None:
    wrong = [
        code[:at] + mark + code[at + 1 :] for at in range(7) for mark in ISO if mark != code[at]
    ]
    assert not any(mod_37_36.is_valid(one) for one in wrong)
    assert not any(tags.is_sound(one) for one in wrong)


@given(codes())
def test_every_swap_of_neighbours_in_a_code_given_out_is_caught(code: str) -> None:
    swaps = {code[:at] + code[at + 1] + code[at] + code[at + 2 :] for at in range(6)} - {code}
    assert all(tags.read(one) == TagRead(None, None, "mistyped") for one in swaps)


def test_a_code_whose_neighbours_can_be_swapped_unseen_is_not_given_out() -> None:
    source = random.Random(7064)  # noqa: S311
    unseen = next(
        code
        for code in (body + tags.check_character(body) for body in _bodies(source))
        if set(code) <= set(tags.ALPHABET) and _swapped_unseen(code)
    )
    assert mod_37_36.is_valid(unseen)
    assert not tags.is_giveable(unseen)


def _bodies(source: random.Random) -> list[str]:
    return [tags.body_from(source.randrange(tags.BODIES)) for _ in range(5000)]


def _swapped_unseen(code: str) -> bool:
    swaps = {code[:at] + code[at + 1] + code[at] + code[at + 2 :] for at in range(6)} - {code}
    return any(mod_37_36.is_valid(one) for one in swaps)


def test_bodies_count_up_from_the_first_to_the_last() -> None:
    assert tags.body_from(0) == "222222"
    assert tags.body_from(1) == "222223"
    assert tags.body_from(tags.BODIES - 1) == "YYYYYY"
    with pytest.raises(ValueError, match="outside"):
        tags.body_from(tags.BODIES)


def test_a_secret_has_ten_marks_of_the_same_alphabet() -> None:
    secret = tags.secret_from(random.Random(3).randrange)  # noqa: S311
    assert len(secret) == 10
    assert set(secret) <= set(tags.ALPHABET)


def test_the_code_used_below_is_one_we_would_give_out() -> None:
    assert tags.is_giveable(KNOWN)
    assert tags.shown(KNOWN) == "H7K-2PD3"


@pytest.mark.parametrize(
    "text",
    [
        "H7K2PD3",
        "h7k2pd3",
        " h7k-2pd3 ",
        "H7K 2PD3",
        "H-7-K-2-P-D-3",
        "H7K–2PD3",
        "Ｈ７Ｋ２ＰＤ３",
        "H7KZPD3",
        "https://kit.example/t/H7K2PD3",
        "https://kit.example/t/H7K2PD3/",
        "HTTPS://KIT.EXAMPLE/T/H7K2PD3",
        "kit.example/t/h7k-2pd3?from=camera",
        "/t/H7K2PD3#top",
        "t/H7K2PD3",
    ],
)
def test_a_code_is_read_however_it_is_typed_or_scanned(text: str) -> None:
    assert tags.read(text) == TagRead("H7K2PD3", None, None)


@pytest.mark.parametrize(
    "text",
    [
        "https://kit.example/t/H7K2PD3/CDFHJKMNPR",
        "HTTPS://KIT.EXAMPLE/T/H7K2PD3/CDFHJKMNPR/",
        "https://kit.example/register/t/h7k2pd3/cdfhjkmnpr?x=1",
    ],
)
def test_the_secret_part_of_an_address_is_read_too(text: str) -> None:
    assert tags.read(text) == TagRead("H7K2PD3", "CDFHJKMNPR", None)


@pytest.mark.parametrize(
    "text",
    [
        "H7K2PD4",
        "7HK2PD3",
        "H7K2PD",
        "H7K2PD33",
        "H7K2PDO",
        "H7K2P13",
        "https://kit.example/t/H7K2PD4/CDFHJKMNPR",
        "https://kit.example/t/",
        "https://kit.example/t/H7K2PD3H7K2PD3",
    ],
)
def test_a_slip_of_the_thumb_is_mistyped_and_never_looked_up(text: str) -> None:
    assert tags.read(text) == TagRead(None, None, "mistyped")


@pytest.mark.parametrize(
    "text", ["https://maker.example/manual.pdf", "04-1287/A 2231", "abc", "H7K2PD£"]
)
def test_an_address_of_another_or_a_serial_is_not_a_tag(text: str) -> None:
    assert tags.read(text) == TagRead(None, None, "not-a-tag")


@pytest.mark.parametrize("text", ["", "  ", "\n"])
def test_nothing_typed_is_empty(text: str) -> None:
    assert tags.read(text) == TagRead(None, None, "empty")


@given(codes())
def test_whatever_is_shown_is_read_back(code: str) -> None:
    assert tags.read(tags.shown(code)) == TagRead(code, None, None)


@given(st.text(max_size=60))
def test_any_text_is_read_without_an_error(text: str) -> None:
    read = tags.read(text)
    assert (read.code is None) == (read.problem is not None)
