"""What a back-up is asked of sites: the rescue cover of each of a sample over the next day."""

from __future__ import annotations

import hashlib
from datetime import datetime, timedelta

from readiness.facts.promised import stated_between
from readiness.rules.statement_json import written
from register.backup.proof import enter_sample, spread
from register.models import Site

HOURS = timedelta(hours=24)


def cover(at: datetime) -> dict[str, str]:
    """The hash of each site's answers over the 24 hours after the moment, facts and all."""
    keys = spread(list(Site.objects.order_by("pk").values_list("pk", flat=True)))
    sites = Site.objects.filter(pk__in=keys).order_by("pk")
    return {site.code: _told(site, at) for site in sites}


def _told(site: Site, at: datetime) -> str:
    statement = stated_between(site, at, at + HOURS, at)
    return hashlib.sha256(repr(written(statement)).encode()).hexdigest()


enter_sample("cover", cover)
