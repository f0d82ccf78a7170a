"""The words of the phone's queue: what was written, and what became of it."""

from __future__ import annotations

from collections.abc import Callable

from django.utils.translation import gettext_noop, ngettext

WORDS: dict[str, str | Callable[[int], str]] = {
    "queue": gettext_noop("To send"),
    "only-here": lambda n: ngettext(
        "%(n)d record is only on this phone. It is safe here, and sent as soon as there is signal.",
        "%(n)d records are only on this phone. They are safe here, and sent as soon as there is signal.",
        n,
    ),
    "all-sent": gettext_noop("Everything written on this phone is in the register."),
    "send-now": gettext_noop("Send now"),
    "save-file": gettext_noop("Save to a file"),
    "saved-file": gettext_noop(
        "Saved as %(name)s. Give it to the stores: they bring it in on the page ‘Bring in a saved queue’."
        " Photographs are not in it. It stays here too, and counts once."
    ),
    "photos-here": lambda n: ngettext(
        "%(n)d photograph among them.", "%(n)d photographs among them.", n
    ),
    "photo-refused": gettext_noop("A photograph was not taken: %(why)s"),
    "no-answer": gettext_noop("No answer from the register: it is tried again by itself."),
    "sign-in": gettext_noop("Sign in"),
    "sign-out": gettext_noop("Sign out"),
    "signed-out": gettext_noop("You are signed out. What this phone carries stays on it."),
    "sign-out-unsent": lambda n: ngettext(
        "Not yet: %(n)d record is to be sent, and signed out it cannot be. Send it, or save it to a file"
        " first.",
        "Not yet: %(n)d records are to be sent, and signed out they cannot be. Send them, or save them to"
        " a file first.",
        n,
    ),
    "state-unsent": gettext_noop("Only on this phone"),
    "state-refused": gettext_noop("Not taken: a person reads it"),
    "state-kept": gettext_noop("A person decides"),
    "state-waits": gettext_noop("Waits for what belongs to it"),
    "state-dropped": gettext_noop("Decided against"),
    "state-done": gettext_noop("In the register"),
}
