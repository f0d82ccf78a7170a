"""The words around every screen of the phone, its first page, and the packs it carries."""

from __future__ import annotations

from collections.abc import Callable

from django.utils.translation import gettext_noop, ngettext

WORDS: dict[str, str | Callable[[int], str]] = {
    # the head and the bar
    "day": gettext_noop("%(day)s %(month)s %(year)s"),
    "moment": gettext_noop("%(time)s, %(day)s"),
    "as-of": gettext_noop("Register as of %(when)s"),
    "as-of-oldest": lambda n: ngettext(
        "Register as of %(when)s", "%(n)d sites, the oldest as of %(when)s", n
    ),
    "no-pack-here": gettext_noop("No register on this phone"),
    "to-send": lambda n: ngettext("%(n)d to send", "%(n)d to send", n),
    "nothing-to-send": gettext_noop("Nothing to send"),
    "bar-find": gettext_noop("Find"),
    "bar-queue": gettext_noop("To send"),
    "clock-behind": lambda n: ngettext(
        "The clock of this phone is %(n)d minute behind. Put it right.",
        "The clock of this phone is %(n)d minutes behind. Put it right.",
        n,
    ),
    "clock-ahead": lambda n: ngettext(
        "The clock of this phone is %(n)d minute ahead. Put it right.",
        "The clock of this phone is %(n)d minutes ahead. Put it right.",
        n,
    ),
    "needs-https": gettext_noop(
        "This address is not https, so nothing of this works without signal. Ask for the right address."
    ),
    "no-screen": gettext_noop("There is no such page on the phone."),
    "broken": gettext_noop(
        "This page cannot be shown: %(why)s. What was kept is still kept; close and open it again."
    ),
    # the first page
    "home": gettext_noop("On the phone"),
    "code-label": gettext_noop("Code on the tag"),
    "code-help": gettext_noop("Seven characters, such as H7K-2PD3."),
    "code-go": gettext_noop("May it be used?"),
    "mistyped": gettext_noop(
        "“%(text)s” is mistyped: no tag reads like that. Compare with the tag and try again."
    ),
    "not-a-tag": gettext_noop(
        "“%(text)s” is not the code of a tag. To look for a serial, use Find."
    ),
    "empty": gettext_noop("Type the code that is on the tag."),
    "carried": gettext_noop("What this phone carries"),
    "carries-nothing": gettext_noop(
        "Nothing yet. Load a site while there is signal; then this page works without."
    ),
    "manage-packs": gettext_noop("Load a site"),
    "see-sheets": gettext_noop("Rescue sheets"),
    "to-office": gettext_noop("The office pages (need signal)"),
    "items-of-site": lambda n: ngettext("%(n)d item", "%(n)d items", n),
    # packs
    "packs": gettext_noop("Sites on this phone"),
    "packs-lead": gettext_noop(
        "What was loaded is good for 72 hours without signal. A later stop does not show here until you"
        " connect."
    ),
    "to-load": gettext_noop("To load"),
    "load": gettext_noop("Load %(site)s"),
    "load-anew": gettext_noop("Load %(site)s anew"),
    "take-off": gettext_noop("Take %(site)s off this phone"),
    "loading": gettext_noop("Loading %(site)s …"),
    "loaded": gettext_noop("%(site)s is on this phone, as of %(when)s."),
    "unchanged": gettext_noop("%(site)s is as it was: nothing changed since %(when)s."),
    "taken-off": gettext_noop("%(site)s is off this phone."),
    "take-off-unsent": lambda n: ngettext(
        "Nothing is taken off while %(n)d record is to be sent. Send it, or save it to a file first.",
        "Nothing is taken off while %(n)d records are to be sent. Send them, or save them to a file first.",
        n,
    ),
    "good-until": gettext_noop("Good until %(when)s"),
    "too-old": gettext_noop("Too old since %(when)s: load it anew before you rely on it"),
    "no-signal": gettext_noop(
        "No signal: the list of sites cannot be asked for now. What is on the phone stays."
    ),
    "load-failed": gettext_noop(
        "%(site)s could not be loaded: no answer. Try again where there is signal."
    ),
    "load-other-format": gettext_noop(
        "%(site)s could not be loaded: this page is older than the register. Close it, open it again"
        " where there is signal, and load the site then."
    ),
    "load-refused": gettext_noop(
        "%(site)s could not be loaded: the register says no (%(status)s). Ask for a role at this site."
    ),
    "not-kept-pack": gettext_noop(
        "%(site)s could not be kept: this phone has no room (%(why)s). Make room and load it again."
    ),
    "no-sites": gettext_noop("You hold a role at no site. Ask an administrator."),
}
