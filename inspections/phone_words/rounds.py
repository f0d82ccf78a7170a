"""The words of a round on the phone: begun, gone, signed."""

from __future__ import annotations

from collections.abc import Callable

from django.utils.translation import gettext_noop, ngettext

from inspections.rules.kinds import KINDS
from inspections.rules.round_lines import LINE_STATES

WORDS: dict[str, str | Callable[[int], str]] = {
    **{f"inspection-{slug}": kind.name for slug, kind in KINDS.items()},
    **{f"state-{slug}": name for slug, name in LINE_STATES.items()},
    # the count, as it is called out
    "tally-done": gettext_noop("%(done)d of %(listed)d"),
    "tally-besides": lambda n: ngettext("%(n)d beside the list", "%(n)d beside the list", n),
    "tally-out": gettext_noop("%(n)d out"),
    "tally-not-seen": gettext_noop("%(n)d not seen"),
    "tally-not-presented": gettext_noop("%(n)d not presented"),
    "tally-unknown": gettext_noop("%(n)d not on the register"),
    "tally-elsewhere": gettext_noop("%(n)d of another site"),
    "pace": gettext_noop("Middle time of a pass: %(took)s."),
    "pace-quick": gettext_noop("Middle time of a pass: %(took)s; %(quick)d took under 20 s."),
    "pace-minutes": gettext_noop("%(minutes)d min %(seconds)d s"),
    "pace-seconds": gettext_noop("%(seconds)d s"),
    # the rounds
    "bar-rounds": gettext_noop("Rounds"),
    "rounds": gettext_noop("Rounds on this phone"),
    "rounds-none": gettext_noop("No round is open on this phone."),
    "rounds-closed": gettext_noop("Signed or closed"),
    "round-name": gettext_noop("%(kind)s, %(site)s"),
    "round-began": gettext_noop("begun %(day)s at %(time)s"),
    "round-signed-here": gettext_noop("Signed on this phone: it counts once it is sent."),
    "round-signed-there": gettext_noop("Signed, and in the register."),
    "round-closed-there": gettext_noop("Closed in the register: signed or dropped there."),
    "round-signed-asked": gettext_noop(
        "Signed on this phone, and it does not count yet: look under To send."
    ),
    "round-unknown": gettext_noop("This round is not on this phone, or it is signed."),
    "round-no-pack": gettext_noop("The register of its site is not on this phone: load it first."),
    "round-sign-in": gettext_noop(
        "Nobody is signed in on this phone: sign in where there is signal, under To send."
    ),
    "happened-here": gettext_noop("Something happened"),
    # beginning one
    "round-begin": gettext_noop("Begin a round"),
    "begin-no-pack": gettext_noop(
        "No register is on this phone. Load a site where there is signal."
    ),
    "begin-pack-of-another": gettext_noop(
        "Somebody else loaded this site: load it anew where there is signal, then begin the round."
    ),
    "begin-kind": gettext_noop("Kind of inspection"),
    "covers-periodic": gettext_noop("I follow the maker’s periodic examination procedure"),
    "begin-what": gettext_noop("What it is to see"),
    "begin-due-14": gettext_noop("due within 14 days"),
    "begin-due-42": gettext_noop("due within 42 days"),
    "begin-all": gettext_noop("everything in service"),
    "begin-open": gettext_noop("no list: whatever is put before me"),
    "begin-narrow": gettext_noop("Only a zone, a class or a person"),
    "every-zone": gettext_noop("Every zone"),
    "every-class": gettext_noop("Every class"),
    "everybody": gettext_noop("Everybody"),
    "zone": gettext_noop("Zone"),
    "class": gettext_noop("Class"),
    "begin-nothing": gettext_noop(
        "Nothing in service here is %(chosen)s. Choose more, or begin without a list."
    ),
    "begin-too-many": gettext_noop(
        "%(n)d items are more than one round can hold (%(most)d). Choose a zone, a class or fewer days."
    ),
    "begin-go": gettext_noop("Begin"),
    # going it
    "done-already": gettext_noop("%(item)s was looked at in this round: %(at)s, %(what)s."),
    "look-again": gettext_noop("Look again: it stands beside the first"),
    "round-elsewhere": gettext_noop(
        "%(code)s belongs to %(there)s in the register, not to %(here)s. Have it booked in here before it"
        " can pass."
    ),
    "stray-note-elsewhere": gettext_noop("Note it in the round"),
    "stop-elsewhere": gettext_noop("Something is wrong with it"),
    "no-tag": gettext_noop("No tag, or none that can be read"),
    "by-serial": gettext_noop("Serial, as marked"),
    "by-serial-go": gettext_noop("Find it"),
    "by-serial-help": gettext_noop("The whole of it. Then compare maker and model as well."),
    "serial-of-none": gettext_noop("No item here has the serial “%(text)s”."),
    "serial-of-several": gettext_noop(
        "Several items here have the serial “%(text)s” (%(codes)s): scan the tag."
    ),
    "stray": gettext_noop("It is on no record"),
    "state-count": gettext_noop("%(state)s: %(n)d"),
    "open-line": gettext_noop("Not there, or something is wrong"),
    "write-down": gettext_noop("Write down what is wrong"),
    "line-unwritten": gettext_noop("Out of use, what is wrong is not written down yet"),
    "line-taken-on": gettext_noop("Taken on in quarantine: it gets its tag when this is sent"),
    "back-to-round": gettext_noop("Back to the round"),
    # on no record
    "stray-title": gettext_noop("On no record of this phone"),
    "stray-elsewhere": gettext_noop("Of another site"),
    "stray-lead": gettext_noop("Put it aside: nothing is known of it, so it cannot pass."),
    "stray-elsewhere-lead": gettext_noop("It stands in the round as what it is, and nothing more."),
    "stray-text": gettext_noop("What stands on its tag"),
    "stray-text-help": gettext_noop("As scanned or typed; empty where there is no tag."),
    "stray-note": gettext_noop("Only note it in the round"),
    "no-tag-text": gettext_noop("no tag"),
    "take-on": gettext_noop("Take it on in quarantine"),
    "take-on-serial": gettext_noop("Serial, as marked"),
    "take-on-serial-help": gettext_noop("Empty where none can be read; the record says so."),
    "take-on-go": gettext_noop("Take it on"),
    "product-other": gettext_noop("One not in this list"),
    "product-unsaid": gettext_noop("Say what it is, or choose the product above."),
    "maker": gettext_noop("Maker"),
    "designation": gettext_noop("Model"),
    "or-not-marked": gettext_noop("Or: not marked."),
    "class-choose": gettext_noop("Choose a class"),
    # the signature
    "sign": gettext_noop("Sign the round"),
    "sign-title": gettext_noop("Sign the round"),
    "sign-looks": lambda n: ngettext("%(n)d line", "%(n)d lines", n),
    "sign-missed": lambda n: ngettext(
        "%(n)d becomes “not presented”: no date moves",
        "%(n)d become “not presented”: no date moves",
        n,
    ),
    "sign-finish": gettext_noop("%(item)s: write down what is wrong first."),
    "sign-statement": gettext_noop(
        "I had each of these items in my hands at the time given, and what stands here is what I found"
    ),
    "sign-effect": gettext_noop(
        "Signing withdraws what you failed, where you are authorised, and lets the passes count, once it"
        " is sent."
    ),
    "sign-as": gettext_noop("Sign as %(name)s"),
    "not-signed-round-closed": gettext_noop("This round is signed already."),
    "not-signed-round-of-another": gettext_noop(
        "This is the round of somebody else, and nobody else can sign it."
    ),
    "not-signed-nothing-done": gettext_noop(
        "Nothing was looked at, so there is nothing to sign. Look at an item first."
    ),
    "not-signed-words-missing": gettext_noop(
        "Out of use, but what is wrong is not written down yet: %(items)s. Finish it, then sign."
    ),
    "not-signed-not-stated": gettext_noop(
        "Read the statement and tick it: the signature is yours alone."
    ),
}
