"""The words of the phone's verdict, of finding an item, and of the rescue sheets."""

from __future__ import annotations

from collections.abc import Callable

from django.utils.translation import gettext_noop, ngettext

WORDS: dict[str, str | Callable[[int], str]] = {
    # the verdict
    "ok-until": gettext_noop("OK to use until"),
    "do-not-use": gettext_noop("DO NOT USE"),
    "what-to-do": gettext_noop("What to do"),
    "usable-as-of": gettext_noop(
        "As of %(when)s. A later stop does not show here until you connect."
    ),
    "fact-code": gettext_noop("Code"),
    "fact-what": gettext_noop("What"),
    "fact-product": gettext_noop("Product"),
    "fact-serial": gettext_noop("Serial"),
    "fact-size": gettext_noop("Size"),
    "fact-place": gettext_noop("Where"),
    "fact-holder": gettext_noop("With"),
    "fact-kit": gettext_noop("Part of"),
    "fact-site": gettext_noop("Site"),
    "kit-part": gettext_noop("kit %(kit)s: for rescue only, leave it in the bag"),
    "is-kit": gettext_noop("Rescue kit %(kit)s"),
    "tag-replaced": gettext_noop(
        "Tag %(old)s was replaced: this item carries %(code)s now. Compare the serial before you go by"
        " this page."
    ),
    "notice": gettext_noop("Safety notice: %(name)s"),
    "stop": gettext_noop("Something is wrong: out of use now"),
    "stopped": gettext_noop("Kept on this phone: it is out of use from now."),
    "stop-failed": gettext_noop(
        "NOT KEPT: this phone could not write it down (%(why)s). Keep the item from being used, and tell"
        " the stores."
    ),
    "stop-words": gettext_noop("What is wrong? It is out already; words help whoever looks next."),
    "stop-note": gettext_noop("What you saw"),
    "stop-note-help": gettext_noop("No names, please."),
    "stop-add": gettext_noop("Add this"),
    "stop-added": gettext_noop("Kept on this phone: %(reason)s."),
    "check-serial": gettext_noop(
        "Check that the serial on the item is the same. If not, do not use it."
    ),
    "not-fit": gettext_noop(
        "Being in date does not mean fit: do a pre-use check every time. Tallyhook is a record and"
        " planning aid; it certifies nothing."
    ),
    "verdict-of": gettext_noop("May %(code)s be used?"),
    # finding
    "find": gettext_noop("Find"),
    "find-label": gettext_noop("Serial, person, zone, kit or code"),
    "find-help": gettext_noop("Blanks and dashes do not matter, nor O for 0."),
    "find-none": gettext_noop(
        "Nothing like “%(text)s” on this phone. It may be at a site that is not loaded."
    ),
    "find-short": gettext_noop("Type at least two characters."),
    "found": lambda n: ngettext("%(n)d item", "%(n)d items", n),
    "found-more": lambda n: ngettext(
        "%(n)d more is not shown: type more of it.", "%(n)d more are not shown: type more of it.", n
    ),
    "serial-is": gettext_noop("serial %(serial)s"),
    "usable-short": gettext_noop("OK until %(day)s"),
    # rescue sheets
    "sheets-as-of": gettext_noop("Rescue cover as of %(when)s"),
    "cover-not-known": gettext_noop(
        "Cover is NOT KNOWN: it was being worked out anew when this was loaded. Load the site anew, or ask"
        " the supervisor before anybody goes up."
    ),
    "no-tasks": gettext_noop("No task at height is planned here within the next 72 hours."),
    "no-more-work": gettext_noop("No more work is planned on this task."),
    "later": lambda n: ngettext("Later: %(n)d more stretch", "Later: %(n)d more stretches", n),
    "from-until": gettext_noop("From %(from)s until %(until)s"),
    "kit-is-out": gettext_noop(
        "DO NOT RELY ON IT: kit %(kit)s is not to be used, by what this phone knows. Tell the supervisor."
    ),
    "sheet-kit": gettext_noop("Kit"),
    "sheet-people": gettext_noop("Rescuers"),
    "sheet-anchor": gettext_noop("From anchor"),
    "sheet-first-aid": gettext_noop("First aid"),
    "sheet-minutes": gettext_noop("Minutes"),
    "sheet-hangs-on": gettext_noop("Hangs on"),
    "sheet-why-not": gettext_noop("Why not"),
    "sheet-missing": gettext_noop("Not known"),
}
