"""Who is told at once of a fall, a notice or a stopped item, in the transaction that records it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from django.db import transaction

from inspections.message_wording import arrest_letter, notice_letter, tag_stop_letter
from inspections.models import Arrest, Notice
from register.actions.conditions import quarantine
from register.actions.messages import Sites, tell
from register.models import Item, Site, Stamp, User
from register.rules.letters import Letter
from register.rules.message_kinds import ARREST, NOTICE, TAG_STOP


def tell_of_arrest(arrest: Arrest, items: Sequence[Item], *, stamp: Stamp) -> None:
    """Once a fall; what becomes known later is on its page."""
    key, sites = f"arrest-{arrest.pk}", [arrest.site_id]
    tell(
        ARREST,
        key,
        sites=sites,
        worded=lambda _reader, _theirs: arrest_letter(arrest, items),
        at=stamp.at,
    )


def tell_of_notice(notice: Notice, items: Iterable[int], *, stamp: Stamp) -> None:
    """Once a notice and day: what comes in later and is meant too is told on its day."""
    found = list(Item.objects.filter(pk__in=list(items)).select_related("site", "holder__user"))
    at_sites = Counter(item.site for item in found)
    held = Counter(
        item.holder.user for item in found if item.holder and hasattr(item.holder, "user")
    )
    key = f"notice-{notice.pk}-{stamp.at.date().isoformat()}"
    by_site: Mapping[int, Site] = {site.pk: site for site in at_sites}

    def worded(reader: User, theirs: Sites) -> Letter:
        counts = {by_site[pk]: at_sites[by_site[pk]] for pk in sorted(theirs)}
        return notice_letter(notice, counts, held_by_reader=held[reader])

    holders: Mapping[User, Sites] = dict.fromkeys(held, frozenset())
    tell(NOTICE, key, sites=by_site, worded=worded, at=stamp.at, holders=holders)


@transaction.atomic
def stop_from_tag(item: Item, *, reason: str, note: str, stamp: Stamp) -> Item:
    """Quarantine from the page behind a tag; where nobody is signed in the stores and the manager
    are told, for nobody else can be asked."""
    stopped = quarantine(item, reason=reason, note=note, stamp=stamp)
    if stamp.by is None:
        key = f"stop-{stamp.act_id}"
        tell(
            TAG_STOP,
            key,
            sites=[stopped.site_id],
            worded=lambda _reader, _theirs: tag_stop_letter(stopped, reason, stamp.at),
            at=stamp.at,
        )
    return stopped
