"""Every sentence of the phone's pages by its code; the phone's script holds none."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from django.utils.translation import gettext as _

from inspections.phone_wording import phone_phrases, sent_name
from inspections.phone_words import finding, happenings, looks, rounds, scanning, sending, shell
from inspections.rules.sent_events import KINDS
from inspections.rules.verdict import VERDICTS
from register.rules.classes import CLASSES
from register.rules.conditions import QUARANTINE_REASONS
from register.wording import class_name, month_name, quarantine_reason

Word = str | Callable[[int], str]
"""A sentence with places such as %(name)s, or for what is counted, the sentence for a number."""

SAMPLES = (1, 2, 3, 5, 6, 0, 11, 100)
"""Numbers of every plural form there is: a phone picks the one that counts as its own number does."""

WORDS: dict[str, Word] = {
    **shell.WORDS,
    **scanning.WORDS,
    **finding.WORDS,
    **rounds.WORDS,
    **looks.WORDS,
    **happenings.WORDS,
    **sending.WORDS,
}


def all_words() -> dict[str, object]:
    """All words in the language of the moment: of each a text, or texts by sample numbers."""
    own = {code: _told(word) for code, word in WORDS.items()}
    return {"words": {**own, **_names()}, "phrases": phone_phrases()}


def _names() -> dict[str, str]:
    """What other pages call the same things, by the kind of thing and its slug."""
    return {
        **{f"class-{slug}": class_name(slug) for slug in CLASSES},
        **{f"reason-{slug}": quarantine_reason(slug) for slug in QUARANTINE_REASONS},
        **{f"verdict-{slug}": _(name) for slug, name in VERDICTS.items()},
        **{f"kind-{kind}": sent_name(kind) for kind in KINDS},
        **{f"month-{month}": month_name(month) for month in range(1, 13)},
    }


def _told(word: Word) -> str | Mapping[str, str]:
    if isinstance(word, str):
        return _(word)
    texts: dict[str, str] = {}
    for number in SAMPLES:
        texts.setdefault(word(number), str(number))
    return {number: text for text, number in texts.items()}
