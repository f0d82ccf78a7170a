"""From rows to the plain values that the cover rule judges: the only bridge between the two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from readiness.facts.rows import SiteRows, read
from readiness.facts.timelines import timeline_of
from readiness.rules.timeline import Timeline
from register.models import Site

__all__ = [
    "Known",
    "SiteRows",
    "known_of",
    "read",
    "timeline_of",
    "timelines",
]


@dataclass(frozen=True, slots=True)
class Known:
    """All that was known of a site at one moment, and the version that its facts had then."""

    version: int
    timeline: Timeline


def known_of(site: Site, first: date, last: date) -> Known:
    """As `timelines`, for one site."""
    (rows,) = read([site], first - timedelta(days=1), last)
    return Known(rows.site.facts_version, timeline_of(rows))


def timelines(sites: Sequence[Site], first: date, last: date) -> list[Timeline]:
    """Each site from the midnight with which `first` begins to that with which `last` ends.

    The day before is read too: its night shift ends on `first`.
    """
    return [timeline_of(rows) for rows in read(sites, first - timedelta(days=1), last)]
