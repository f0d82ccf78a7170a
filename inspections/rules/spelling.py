"""What to write instead of a word that is not known."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches


def instead(word: str, allowed: Sequence[str]) -> str:
    """ "'harnes' is not known; did you mean 'harness'? One of: ...'"."""
    near = get_close_matches(word, allowed, 1, cutoff=0.7)
    guess = f"; did you mean {near[0]!r}?" if near else "."
    return f"{word!r} is not known{guess} One of: {', '.join(allowed)}"
