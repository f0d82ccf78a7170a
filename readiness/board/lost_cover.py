"""Who runs a site is told at once that a task there has lost its cover."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from inspections.message_wording import more_words
from readiness.facts.promised import read_reasons
from readiness.models import CoverChange
from readiness.rules.statement import Names
from readiness.wording import reason_sentence
from readiness.wording.checks import breach_words, time_words
from register.actions.messages import tell
from register.links import link_to
from register.models import Site
from register.rules.letters import MOST_LISTED, Letter, letter, listing, paragraph
from register.rules.message_kinds import COVER
from register.wording import discreet, short_name


def tell_of_lost_cover(
    site: Site, changes: Sequence[CoverChange], names: Names, now: datetime
) -> None:
    """Inside the transaction that notes the losses: one message for all that one statement found."""
    if changes:
        key = f"cover-{site.pk}-{now.isoformat()}"
        people = {name: short_name(name) for name in names.people.values()}
        tell(
            COVER,
            key,
            sites=[site.pk],
            worded=lambda _reader, _theirs: cover_letter(site, changes, people),
            at=now,
        )


def cover_letter(site: Site, changes: Sequence[CoverChange], people: dict[str, str]) -> Letter:
    """Each task with the hour from which, and why; people by first name and initial."""
    count = len(changes)
    words = {"site": site, "n": count}
    said = ngettext(
        "%(n)d task at %(site)s has lost its rescue cover in the next 24 hours:",
        "%(n)d tasks at %(site)s have lost their rescue cover in the next 24 hours:",
        count,
    )
    lines = [discreet(_change(one), people) for one in changes[:MOST_LISTED]]
    return letter(
        _("Rescue cover lost at %(site)s") % words,
        [
            f"{paragraph(said % words)}\n{listing(lines, more_words(count))}",
            paragraph(
                _("Do not begin work that relies on it; stop what has begun. What mends it:")
            ),
            link_to("readiness:site-remedies", site.code),
        ],
    )


def _change(change: CoverChange) -> str:
    why = " ".join(reason_sentence(reason) for reason in read_reasons(change.reasons))
    words = {
        "task": change.task,
        "state": breach_words(change.after),
        "since": time_words(change.begins_at, change.site),
        "why": why,
    }
    return _("%(task)s: %(state)s from %(since)s. %(why)s") % words
