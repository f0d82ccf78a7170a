"""Where nobody is told: kinds that somebody at each site should hear of at once, and nobody does."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from register.actions.messages import TOLD
from register.models import Grant, Site
from register.rules.message_kinds import AT_ONCE


@dataclass(frozen=True, slots=True)
class Untold:
    """A site at which nobody is written to about these kinds."""

    site: Site
    kinds: tuple[str, ...]


def untold(sites: Iterable[Site]) -> list[Untold]:
    """By who has a confirmed address and has not left the kind: two queries for all sites."""
    grants = Grant.objects.filter(
        user__is_active=True, user__postbox__confirmed_at__isnull=False
    ).exclude(user__postbox__address="")
    held = [
        (one.role, one.site_id, one.user.postbox) for one in grants.select_related("user__postbox")
    ]
    reached = {
        (kind, site)
        for role, site, box in held
        for kind in AT_ONCE
        if role in TOLD[kind] and box.takes(kind)
    }
    found = []
    for site in sites:
        missing = [one for one in AT_ONCE if not {(one, None), (one, site.pk)} & reached]
        if missing:
            found.append(Untold(site, tuple(missing)))
    return found
