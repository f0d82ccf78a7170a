"""Tag codes: six characters and a check character, and what a scanner or a thumb makes of them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass

# The characters of ISO 7064 MOD 37,36, in the order of their values 0 to 35.
_ISO_ORDER = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"

# What we give out. None of 0 O Q and none of 1 I L; of two marks that are written alike (2 Z, 5 S,
# 6 G, 8 B, V U) only the first; no vowels, so that no code spells a word.
ALPHABET = "23456789CDFHJKMNPRTVWXY"
BODY_LENGTH = 6
CODE_LENGTH = BODY_LENGTH + 1
BODIES = len(ALPHABET) ** BODY_LENGTH
SECRET_LENGTH = 10
SECRETS = len(ALPHABET) ** SECRET_LENGTH

# A character we never give out, read as the one it can only have been. 0, O, Q, 1, I, L, A and E
# have no such partner: they are a typing mistake, and the check character must not be guessed at.
_LOOK_ALIKES = str.maketrans("ZSGBU", "2568V")
_DASHES = "-‐‑‒–—―−_"
_NEARLY_A_CODE = range(CODE_LENGTH - 2, CODE_LENGTH + 3)
_TAG_ADDRESS = re.compile(r"(?:^|/)T/([^/?#]*)(?:/([^/?#]*))?/*(?:[?#].*)?$")

Draw = Callable[[int], int]


@dataclass(frozen=True, slots=True)
class TagRead:
    """What a text says: a sound code, or the problem 'mistyped', 'not-a-tag' or 'empty'."""

    code: str | None
    secret: str | None
    problem: str | None


def check_character(body: str) -> str:
    """The ISO 7064 hybrid MOD 37,36 check character of capitals and digits (ValueError else)."""
    product = 36
    for mark in body:
        total = (product + _ISO_ORDER.index(mark)) % 36 or 36
        product = total * 2 % 37
    return _ISO_ORDER[(37 - product) % 36]


def is_sound(code: str) -> bool:
    """The check character fits the body; says nothing on whether we would give it out."""
    return set(code) <= set(_ISO_ORDER) and check_character(code[:-1]) == code[-1]


def is_giveable(code: str) -> bool:
    """A sound code whose every character, the check character too, is hard to misread.

    MOD 37,36 catches every single wrong character but lets about one swap of neighbours in 1,000
    through; codes with such a pair are not given out, which costs one code in 170.
    """
    if len(code) != CODE_LENGTH or not set(code) <= set(ALPHABET) or not is_sound(code):
        return False
    return not any(is_sound(swapped) for swapped in _neighbours_swapped(code))


def body_from(number: int) -> str:
    """The number-th body, for a number in range(BODIES)."""
    return _written(number, BODY_LENGTH)


def code_from(draw: Draw) -> str:
    """A code to give out; draw(n) is a random number in range(n), such as secrets.randbelow."""
    while True:
        body = body_from(draw(BODIES))
        code = body + check_character(body)
        if is_giveable(code):
            return code


def secret_from(draw: Draw) -> str:
    """The secret part that a tag's QR carries beside the code; draw as for code_from."""
    return _written(draw(SECRETS), SECRET_LENGTH)


def shown(code: str) -> str:
    """The code in two groups, as printed and read aloud: 'H7K-2PD3'."""
    return f"{code[:3]}-{code[3:]}"


def read(text: str) -> TagRead:
    """The code in a typed text or in a tag's address, in any case, with or without separators.

    Whatever has about the length of a code is 'mistyped' when it is not sound: looking it up
    and answering 'not found' would send people hunting for an item that was never mis-tagged.
    """
    plain = unicodedata.normalize("NFKC", text).strip().upper()
    if not plain:
        return TagRead(None, None, "empty")
    address = _TAG_ADDRESS.search(plain)
    typed, secret = address.groups() if address else (plain, None)
    code = _without_separators(typed).translate(_LOOK_ALIKES)
    if is_giveable(code):
        return TagRead(code, secret or None, None)
    nearly = code.isascii() and code.isalnum() and len(code) in _NEARLY_A_CODE
    return TagRead(None, None, "mistyped" if address or nearly else "not-a-tag")


def _written(number: int, length: int) -> str:
    base = len(ALPHABET)
    if not 0 <= number < base**length:
        raise ValueError(f"{number} is outside 0 to {base**length - 1}")
    return "".join(ALPHABET[number // base**place % base] for place in reversed(range(length)))


def _neighbours_swapped(code: str) -> list[str]:
    pairs = zip(range(len(code)), code, code[1:], strict=False)
    return [code[:at] + b + a + code[at + 2 :] for at, a, b in pairs if a != b]


def _without_separators(text: str) -> str:
    return "".join(mark for mark in text if not mark.isspace() and mark not in _DASHES)
