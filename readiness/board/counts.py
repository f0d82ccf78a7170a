"""How many tasks are covered, in one sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext


@dataclass(frozen=True, slots=True)
class Count:
    """Tasks that need cover; of these, those not covered, and those that hang on one thing."""

    needing: int
    uncovered: int
    hanging: int


def together(counts: Sequence[Count]) -> Count:
    return Count(
        sum(one.needing for one in counts),
        sum(one.uncovered for one in counts),
        sum(one.hanging for one in counts),
    )


def count_words(count: Count) -> list[str]:
    """How many are not covered, or that all are; and how many hang on one thing."""
    if count.uncovered:
        said = [
            ngettext(
                "Its one task is not covered.",
                "%(uncovered)d of %(needing)d tasks not covered.",
                count.needing,
            )
            % {"uncovered": count.uncovered, "needing": count.needing}
        ]
    elif count.needing == 2:  # noqa: PLR2004
        said = [_("Both tasks are covered.")]
    else:
        said = [
            ngettext(
                "Its one task is covered.", "All %(needing)d tasks are covered.", count.needing
            )
            % {"needing": count.needing}
        ]
    if count.hanging:
        words = ngettext("%(n)d hangs on one thing.", "%(n)d hang on one thing.", count.hanging)
        said.append(words % {"n": count.hanging})
    return said


def nothing_declared(undeclared: int) -> str:
    if not undeclared:
        return _("No task that needs rescue cover is worked on in the next 24 h.")
    return ngettext(
        "No task is declared, but %(n)d piece of arrest equipment is on issue: not known to be "
        "covered.",
        "No task is declared, but %(n)d pieces of arrest equipment are on issue: not known to be "
        "covered.",
        undeclared,
    ) % {"n": undeclared}


def headline(counts: Sequence[Count], checked: str) -> str:
    """The page in one sentence. `checked` is the time, as a clock on site shows it."""
    count = together(counts)
    words = {"uncovered": count.uncovered, "needing": count.needing, "at": checked}
    if count.uncovered:
        sentence = ngettext(
            "%(uncovered)d of %(needing)d task not covered in the next 24 h, checked %(at)s.",
            "%(uncovered)d of %(needing)d tasks not covered in the next 24 h, checked %(at)s.",
            count.needing,
        )
        return sentence % words
    if not count.needing:
        return _("No task needs rescue cover in the next 24 h, checked %(at)s.") % words
    sentence = ngettext(
        "The %(needing)d arrest task is covered for the next 24 h, checked %(at)s",
        "All %(needing)d arrest tasks covered for the next 24 h, checked %(at)s",
        count.needing,
    )
    if not count.hanging:
        return f"{sentence % words}."
    more = ngettext("%(n)d hangs on one thing.", "%(n)d hang on one thing.", count.hanging)
    return f"{sentence % words}; {more % {'n': count.hanging}}"
