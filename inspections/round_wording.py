"""What a round says of itself: the running count, each line, and why it cannot be signed."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from inspections.rules.round_lines import LINE_STATES, Tally

_NOT_SIGNED = {
    "round-closed": gettext_noop("This round is closed already: it is signed or dropped."),
    "round-of-another": gettext_noop(
        "This is the round of %(who)s, and nobody else can sign it. Ask %(who)s to sign."
    ),
    "nothing-done": gettext_noop(
        "Nothing was looked at, so there is nothing to sign. Look at an item, or drop the round."
    ),
    "words-missing": gettext_noop(
        "Out of use, but what is wrong is not written down yet: %(items)s. Finish it, then sign."
    ),
    "not-stated": gettext_noop("Read the statement and tick it: the signature is yours alone."),
}


def not_signed_sentence(code: str, who: str, items: Sequence[str]) -> str:
    """Why the round was not signed, and what to do."""
    return _(_NOT_SIGNED[code]) % {"who": who, "items": ", ".join(items)}


def tally_sentence(found: Tally) -> str:
    """'47 of 60, 2 out, 11 not seen, 1 not on the register'."""
    said = [_("%(done)d of %(listed)d") % {"done": found.done, "listed": found.listed}]
    if found.besides:
        said.append(
            ngettext("%(n)d beside the list", "%(n)d beside the list", found.besides)
            % {"n": found.besides}
        )
    said.append(_("%(n)d out") % {"n": found.out})
    said.append(_("%(n)d not seen") % {"n": found.not_seen})
    said += [
        words % {"n": number}
        for number, words in (
            (found.not_presented, _("%(n)d not presented")),
            (found.unknown, _("%(n)d not on the register")),
            (found.elsewhere, _("%(n)d of another site")),
        )
        if number
    ]
    return ", ".join(said)


def state_name(state: str) -> str:
    """'Not seen yet', 'Out of use' ..."""
    return _(LINE_STATES[state])
