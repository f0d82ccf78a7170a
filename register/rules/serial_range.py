"""Consecutive serials from the first of them, as makers print them: with leading zeros kept."""

from __future__ import annotations

import re

MOST_SERIALS = 500  # more than any carton holds; a slip of the finger gives more

_ENDS_IN_DIGITS = re.compile(r"(.*?)([0-9]+)", re.DOTALL)


def serial_range(first: str, count: int) -> list[str]:
    """'HT-0098' and 3 give 'HT-0098', 'HT-0099', 'HT-0100'.

    ValueError where the first does not end in digits, the count is not from 1 to MOST_SERIALS, or
    the digits run out of places: 'A99' has no next of the same length, and the maker's next
    serial is then not known.
    """
    parts = _ENDS_IN_DIGITS.fullmatch(first.strip())
    if parts is None:
        raise ValueError(f"“{first}” does not end in digits, so that nothing can be counted on")
    if not 1 <= count <= MOST_SERIALS:
        raise ValueError(f"{count} is not a number from 1 to {MOST_SERIALS}")
    prefix, digits = parts.groups()
    last = int(digits) + count - 1
    if len(str(last)) > len(digits):
        raise ValueError(f"{count} serials from “{first}” need more digits than it has")
    return [f"{prefix}{number:0{len(digits)}}" for number in range(int(digits), last + 1)]
