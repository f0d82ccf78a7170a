"""Names as they stand where everybody passes by: the first name and an initial."""

from __future__ import annotations

from collections.abc import Iterable, Mapping


def short_names(names: Iterable[str]) -> Mapping[str, str]:
    """By full name, 'Morag D.': as many letters of the last name as tell any two apart.

    Where the letters run out the whole name stands: two names are never told as one.
    """
    every = list(dict.fromkeys(names))
    found: dict[str, str] = {}
    for name in every:
        others = [other for other in every if other != name]
        found[name] = next(
            (short for short in _shorter(name) if not any(_could_be(short, one) for one in others)),
            name,
        )
    return found


def _shorter(name: str) -> list[str]:
    """From the shortest on; a name of one word has no shorter one."""
    words = name.split()
    if len(words) < 2:  # noqa: PLR2004
        return []
    first, last = words[0], words[-1]
    return [f"{first} {last[:letters]}." for letters in range(1, len(last))]


def _could_be(short: str, name: str) -> bool:
    return short.casefold() in {one.casefold() for one in (*_shorter(name), f"{name}.")}
