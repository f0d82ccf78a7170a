"""The sentences that a phone says by itself, by their codes; they travel in the pack."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

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
