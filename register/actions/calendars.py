"""Calendar feeds made, given a new secret, and shut; of the secret only the hash stays."""

from __future__ import annotations

import hashlib
import secrets

from django.db import transaction
from django.utils.translation import gettext as _

from register.models import CalendarFeed, Site, Stamp, User, record
from register.refusal import Refusal

MOST_FEEDS = 20
"""Of one user: more than anybody reads."""


def new_secret() -> str:
    """256 bits, for an address that is as good as a password for what it shows."""
    return secrets.token_urlsafe(32)


def hash_of(secret: str) -> str:
    """A secret drawn at random needs no slow hash: nobody can try them all."""
    return hashlib.sha256(secret.encode()).hexdigest()


@transaction.atomic
def make_feed(
    user: User,
    *,
    about: str,
    site: Site | None = None,
    equipment_class: str = "",
    language: str,
    secret: str,
    stamp: Stamp,
) -> CalendarFeed:
    """A feed of one's own; what it is about is asked of the rights at each reading."""
    if CalendarFeed.objects.standing().filter(user=user).count() >= MOST_FEEDS:
        raise Refusal(
            "too-many-feeds",
            _("You have %(most)d calendars. Shut one of them first.") % {"most": MOST_FEEDS},
        )
    feed = CalendarFeed(
        user=user,
        about=about,
        site=site,
        equipment_class=equipment_class,
        language=language,
        secret_hash=hash_of(secret),
        made_at=stamp.at,
    )
    feed.full_clean()
    feed.save()
    facts = {"about": about, "site": site.code if site else "", "class": equipment_class}
    record("make-calendar", {feed: facts}, stamp=stamp)
    return feed


@transaction.atomic
def renew_feed(feed: CalendarFeed, *, secret: str, stamp: Stamp) -> CalendarFeed:
    """Another address for the same events; the old one shows nothing from now on."""
    feed = _locked(feed)
    feed.secret_hash = hash_of(secret)
    feed.save(update_fields=["secret_hash"])
    record("renew-calendar", {feed: {}}, stamp=stamp)
    return feed


@transaction.atomic
def revoke_feed(feed: CalendarFeed, *, stamp: Stamp) -> CalendarFeed:
    """Shut the address for good, and forget what it told."""
    feed = _locked(feed)
    feed.revoked_at = stamp.at
    feed.save(update_fields=["revoked_at"])
    feed.told.all().delete()
    record("revoke-calendar", {feed: {}}, stamp=stamp)
    return feed


def _locked(feed: CalendarFeed) -> CalendarFeed:
    feed = CalendarFeed.objects.select_for_update().get(pk=feed.pk)
    if feed.revoked_at:
        raise Refusal("revoked-already", _("This calendar is shut already. Make another."))
    return feed
