"""The sentences that a phone says by itself, by their codes; they travel in the pack."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inspections.rules.phone_times import Told
from inspections.rules.verdict import VERDICTS

_SAYS = {
    "stopped-here": gettext_noop("DO NOT USE: it was put out of use on this phone"),
    "part-stopped-here": gettext_noop(
        "DO NOT USE: a part of this kit was put out of use on this phone"
    ),
    "no-pack": gettext_noop("DO NOT USE: this phone carries no register of this site"),
    "clock-wrong": gettext_noop(
        "DO NOT USE: the clock of this phone is behind, so no date can be trusted"
    ),
    "pack-too-old": gettext_noop("DO NOT USE: the register on this phone is too old to trust"),
    "not-in-pack": gettext_noop("DO NOT USE: it is not in the register that this phone carries"),
}

_DO = {
    "stopped-here": gettext_noop(
        "Mark it so that nobody takes it by mistake, and give it to the stores."
    ),
    "part-stopped-here": gettext_noop(
        "Mark the kit so that nobody takes it by mistake, and give it to the stores."
    ),
    "no-pack": gettext_noop("Load this site where there is signal, or ring the stores."),
    "clock-wrong": gettext_noop("Put the clock right, or ring the stores."),
    "pack-too-old": gettext_noop("Load this site anew where there is signal, or ring the stores."),
    "not-in-pack": gettext_noop("Compare the tag once more, then ring the stores."),
}


def phone_phrases() -> dict[str, list[str]]:
    """[what is said, what to do] by the code of the phone's own verdict."""
    return {code: [_(said), _(_DO[code])] for code, said in _SAYS.items()}


_KINDS = {
    "quarantine": gettext_noop("Out of use"),
    "look": gettext_noop("A look at an item"),
    "arrest": gettext_noop("A fall was arrested"),
    "event": gettext_noop("An event"),
    "acknowledge": gettext_noop("A holder knows of a notice"),
    "round-begin": gettext_noop("A round begun"),
    "round-sign": gettext_noop("A round signed"),
    "take-on": gettext_noop("An item taken on"),
    "stray": gettext_noop("An unknown tag in a round"),
}
_UNREAD = gettext_noop("Something that cannot be read")


def sent_name(kind: str, item: str = "", verdict: str = "") -> str:
    """What was sent, with its verdict, and about which item."""
    name = _(VERDICTS[verdict]) if verdict else _(_KINDS.get(kind, _UNREAD))
    return f"{name}, {item}" if item else name


def clock_differs_sentence(told: Told) -> str:
    """Told where the clock of the phone was wrong at sending; '' where it was not."""
    if not told.differs or told.offset is None:
        return ""
    minutes = round(abs(told.offset.total_seconds()) / 60)
    if told.offset.total_seconds() > 0:
        return _("The clock of the phone was %(n)d minutes behind.") % {"n": minutes}
    return _("The clock of the phone was %(n)d minutes ahead.") % {"n": minutes}
