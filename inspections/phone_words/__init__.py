"""Every sentence of the phone's pages by its code; the phone's script holds none."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from django.utils.translation import gettext as _

from inspections.phone_wording import phone_phrases
from inspections.phone_words import finding, sending, shell
from register.rules.classes import CLASSES
from register.wording import class_name, month_name

Word = str | Callable[[int], str]
"""A sentence with places such as %(name)s, or for what is counted, the sentence for a number."""

SAMPLES = (1, 2, 3, 5, 6, 0, 11, 100)
"""Numbers of every plural form there is: a phone picks the one that counts as its own number does."""

WORDS: dict[str, Word] = {**shell.WORDS, **finding.WORDS, **sending.WORDS}


def all_words() -> dict[str, object]:
    """All words in the language of the moment: of each a text, or texts by sample numbers."""
    return {
        "words": {code: _told(word) for code, word in WORDS.items()},
        "phrases": phone_phrases(),
        "classes": {slug: class_name(slug) for slug in CLASSES},
        "months": [month_name(month) for month in range(1, 13)],
    }


def _told(word: Word) -> str | Mapping[str, str]:
    if isinstance(word, str):
        return _(word)
    texts: dict[str, str] = {}
    for number in SAMPLES:
        texts.setdefault(word(number), str(number))
    return {number: text for text, number in texts.items()}
