"""Making the pack of a site, and the mark that tells whether a phone has the same one already."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from datetime import datetime, timedelta

from django.utils.translation import get_language

from inspections.packs import around
from inspections.packs.items import Days, items_in, pack_items
from inspections.packs.sentences import Sentences
from inspections.phone_wording import phone_phrases
from inspections.regime import regime_in_force
from inspections.rules.phone_verdict import GOOD_FOR
from register import clock
from register.models import Site, User
from register.rules.conditions import Condition

FORMAT = 2


def days_of(site: Site, at: datetime) -> Days:
    """From the site's own day at the moment through the day on which the pack ends."""
    return Days(clock.day_at(site, at), clock.day_at(site, at + GOOD_FOR))


def mark_of(site: Site, user: User, at: datetime, *, names: bool) -> str:
    """Alike as long as a pack made now would say the same: the site's facts, its day, the regime,
    what the user may inspect, and the language it is told in."""
    days = days_of(site, at)
    told = [
        *(FORMAT, site.pk, site.facts_version, days.first.isoformat(), regime_in_force().mark),
        *(user.pk, names, around.authorisations(user, days), get_language()),
    ]
    return hashlib.sha256(json.dumps(told).encode()).hexdigest()[:32]


def site_pack(site: Site, user: User, at: datetime, *, names: bool) -> dict[str, object]:
    """All that ``inspections`` knows for the pack. ``names``: whether holders are named in it.

    The version of the facts is that of ``site`` as it was read before anything else: an act that
    comes in between makes the pack look older than it is, never newer.
    """
    days, said = days_of(site, at), Sentences()
    items = list(items_in(site))
    told = pack_items(items, site, days, said, names=names)
    return {
        "format": FORMAT,
        "site": {"code": site.code, "name": site.name, "zone": site.time_zone},
        "user": {"id": user.pk, "person": user.person_id, "name": str(user)},
        "facts_version": site.facts_version,
        "made_at": at.isoformat(),
        "good_until_at": (at + GOOD_FOR).isoformat(),
        "today": days.first.isoformat(),
        "days": [day.isoformat() for day in days.all],
        "phrases": phone_phrases(),
        "items": told,
        "products": around.products(items),
        "due": _due(told, days),
        "authorisations": around.authorisations(user, days),
        "rounds": around.rounds(site, user),
        "arrests": around.arrests(site),
        "people": around.people(items, site, days) if names else {},
        **around.about(items),
        "sentences": said.all,
    }


def _due(told: Mapping[str, Mapping[str, object]], days: Days) -> list[list[str]]:
    """The tags in service whose last good day comes soon or has passed, the earliest first."""
    horizon = (days.first + timedelta(days=around.DUE_WITHIN_DAYS)).isoformat()
    found = []
    for code, item in told.items():
        if item["condition"] != Condition.IN_SERVICE:
            continue
        spells = item["spells"]
        assert isinstance(spells, list)  # noqa: S101 - as pack_items writes them
        through = spells[0][2] or ""  # '' where it is not usable now: first of all
        if through <= horizon:
            found.append([through, code])
    return [[code, through] for through, code in sorted(found)]
