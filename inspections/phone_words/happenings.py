"""The words for what happened, told on the phone: an arrested fall, another event, a notice."""

from __future__ import annotations

from collections.abc import Callable

from django.utils.translation import gettext_noop, ngettext

from inspections.rules.events import EVENT_KINDS
from inspections.rules.notice_match import CERTAINTIES

WORDS: dict[str, str | Callable[[int], str]] = {
    **{f"event-{slug}": kind.name for slug, kind in EVENT_KINDS.items()},
    **{f"match-{slug}": name for slug, name in CERTAINTIES.items()},
    "arrest": gettext_noop("A fall was arrested"),
    "arrest-lead": gettext_noop(
        "First the person: get them down, and call the emergency services as well. Then take the whole"
        " system out of use, the anchor included. Do not clean, cut or discard anything: it is evidence."
    ),
    "arrest-nothing": gettext_noop("Name the tags, the anchor included, or the person who fell."),
    "arrest-go": gettext_noop("Take it all out of use"),
    "not-named": gettext_noop("Not named"),
    "wearer": gettext_noop("Who fell"),
    "wearer-help": gettext_noop(
        "Unless harness and lanyard or device are named, everything on issue to this person is out."
    ),
    "zone-none": gettext_noop("No zone"),
    "arrest-zone-help": gettext_noop(
        "Without the anchor’s tag, every anchor of this zone is out of use."
    ),
    "when": gettext_noop("When"),
    "where-exactly": gettext_noop("Where exactly"),
    "others-on-line": gettext_noop("Others on the same horizontal line"),
    "rescue-kit-used": gettext_noop("Rescue kit that was used"),
    "no-kit": gettext_noop("None of ours"),
    "task": gettext_noop("Work that was done"),
    "what-happened": gettext_noop("What happened, in words"),
    "account-help": gettext_noop(
        "Kept as written; later words are added. Write nothing about injuries or health: the accident"
        " book is the place for it."
    ),
    "gather": gettext_noop("Which items"),
    "gathered": gettext_noop("%(code)s is named."),
    "gathered-strange": gettext_noop("not in the register of this phone; named all the same"),
    "gathered-drop": gettext_noop("Not %(code)s"),
    "kept-out": lambda n: ngettext(
        "Kept: %(n)d item is out of use from now", "Kept: %(n)d items are out of use from now", n
    ),
    "kept-out-lead": gettext_noop(
        "As far as this phone knows: the register may find more once this is sent. Mark each piece so that"
        " nobody takes it, and keep it as it is."
    ),
    "to-queue": gettext_noop("To send"),
    "event": gettext_noop("Something happened to equipment"),
    "event-lead": gettext_noop(
        "All that it happened to is out at once, until a competent person has looked at it."
    ),
    "event-kind": gettext_noop("What happened"),
    "event-choose": gettext_noop("Choose what happened"),
    "event-nothing": gettext_noop("Name the items: scan or type their tags."),
    "event-go": gettext_noop("Take them out of use"),
    "notices": gettext_noop("Safety notices"),
    "notices-none": gettext_noop("No notice on this phone means anything that is here."),
    "notice-deadline": gettext_noop("Last day of use: %(day)s"),
    "notice-told": gettext_noop("Whoever has it was told."),
    "notice-tell": gettext_noop("Whoever has it was told"),
    "notice-how": gettext_noop("How they were told"),
    "notice-how-help": gettext_noop("Such as: in person, 09:20. It frees nothing."),
    "notice-how-phone": gettext_noop("in person"),
    "notice-tell-go": gettext_noop("Put it on record"),
}
