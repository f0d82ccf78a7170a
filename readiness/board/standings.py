"""How sites stand: the statement of cover that is in force for each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from readiness.facts import timelines
from readiness.rules.statement import HORIZON_DAYS, Statement, state
from register.models import Site


@dataclass(frozen=True, slots=True)
class Standing:
    """`fresh` is False where the facts have changed since the statement was made."""

    site: Site
    statement: Statement
    fresh: bool = True


def standings(sites: Sequence[Site], at: datetime) -> list[Standing]:
    """One for each site, in their order, stated from the site's own today."""
    return [_made_now(site, at) for site in sites]


def _made_now(site: Site, at: datetime) -> Standing:
    day = at.astimezone(ZoneInfo(site.time_zone)).date()
    (timeline,) = timelines([site], day, day + timedelta(days=HORIZON_DAYS))
    return Standing(site, state(timeline, day, at))
