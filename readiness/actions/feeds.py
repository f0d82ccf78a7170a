"""Following a calendar elsewhere, and leaving it."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from readiness.actions.checking import refuse_other_site
from readiness.models import RotaFeed
from register.models import Site, Stamp, Zone, record
from register.refusal import Refusal


@transaction.atomic
def follow_feed(site: Site, *, zone: Zone, address: str, stamp: Stamp) -> RotaFeed:
    """From now on the rota of the site also goes by this calendar. The caller has looked at the
    address; the ledger keeps its host alone."""
    refuse_other_site([zone], site)
    if RotaFeed.objects.followed().filter(site=site, address=address).exists():
        raise Refusal("followed-already", _("This calendar is followed already."))
    feed = RotaFeed(
        site=site, zone=zone, address=address, followed_by=stamp.by, followed_at=stamp.at
    )
    feed.full_clean()
    feed.save()
    record("follow-rota-feed", {site: {"host": feed.host, "zone": zone.code}}, stamp=stamp)
    return feed


@transaction.atomic
def stop_feed(feed: RotaFeed, *, stamp: Stamp) -> RotaFeed:
    """The calendar is asked no more. Whom it put on stays on the rota; its last answer is dropped."""
    feed = RotaFeed.objects.select_for_update().get(pk=feed.pk)
    if feed.stopped_at is not None:
        raise Refusal("stopped-already", _("This calendar is not followed any more."))
    feed.stopped_at, feed.answer, feed.unclear = stamp.at, "", []
    feed.save(update_fields=["stopped_at", "answer", "unclear"])
    record("stop-rota-feed", {feed.site: {"host": feed.host}}, stamp=stamp)
    return feed
