"""How sites stand: the statement of cover that is in force for each, and whether it is fresh."""

from __future__ import annotations

import logging
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from time import monotonic
from zoneinfo import ZoneInfo

from django.db import OperationalError

from readiness.board.keeping import bring_up_to_date, hardly_waiting, statement_in
from readiness.facts.mark import judged_by
from readiness.models import KeptStatement
from readiness.rules.spans import Span
from readiness.rules.statement import HORIZON_DAYS, Statement
from readiness.rules.windows import midnight
from register.models import Site

logger = logging.getLogger(__name__)

BUDGET_MS = 400
"""No further statement is begun on a page that has spent this on others."""

_LONGEST_DAY = timedelta(hours=25)


@dataclass(frozen=True, slots=True)
class Standing:
    """`fresh` is False where the facts have changed since the statement was made.

    A page says so, and counts what it tells as not known to be covered.
    """

    site: Site
    statement: Statement
    fresh: bool = True


def standings(sites: Sequence[Site], at: datetime) -> list[Standing]:
    """One for each site, in their order: as kept, or made now while there is time for that."""
    rows = KeptStatement.objects.with_site_version().filter(site__in=sites)
    kept = {row.pk: row for row in rows}
    made = dict(_made_now(sites, kept, at))
    return [
        Standing(site, made[site.pk]) if site.pk in made else _as_kept(site, kept.get(site.pk), at)
        for site in sites
    ]


def _made_now(
    sites: Sequence[Site], kept: Mapping[int, KeptStatement], at: datetime
) -> Iterator[tuple[int, Statement]]:
    """What is missing or behind before what is only a day old, the quickest of them first."""
    asked = {site.pk: _asks(kept.get(site.pk), at) for site in sites}
    wanting = sorted((site for site in sites if asked[site.pk]), key=lambda site: asked[site.pk])
    begun = monotonic()
    for site in wanting:
        found = _brought_up_to_date(site, at)
        if found is not None:
            yield site.pk, found
        if (monotonic() - begun) * 1000 > BUDGET_MS:
            return


def _asks(kept: KeptStatement | None, at: datetime) -> tuple[int, ...]:
    """Nothing for a statement that needs no making; else how urgent, and how long it took last."""
    if kept is None:
        return (1, 0)
    if kept.behind(judged_by()):
        return (1, kept.took_ms)
    of_its_day = kept.day_ends_at - _LONGEST_DAY <= at < kept.day_ends_at
    return () if of_its_day else (2, kept.took_ms)


def _brought_up_to_date(site: Site, at: datetime) -> Statement | None:
    """None where the database is busy: the page then tells what is kept."""
    try:
        with hardly_waiting():
            return bring_up_to_date(site, at)
    except OperationalError:
        logger.info("The statement of %s was not kept: the database is busy.", site.code)
        return None


def _as_kept(site: Site, kept: KeptStatement | None, at: datetime) -> Standing:
    if kept is None:
        return Standing(site, nothing_known(site, at), fresh=False)
    statement = statement_in(kept)
    reaches = statement.at(at) is not None
    return Standing(site, statement, fresh=reaches and not kept.behind(judged_by()))


def nothing_known(site: Site, at: datetime) -> Statement:
    """Of a site for which no answer was ever made: it says nothing, and is never fresh."""
    zone = ZoneInfo(site.time_zone)
    day = at.astimezone(zone).date()
    edges = (midnight(day, zone), midnight(day + timedelta(days=HORIZON_DAYS + 1), zone))
    return Statement(site.code, zone, at, "", (Span(*edges, {}),))
