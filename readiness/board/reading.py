"""Sites over time as they are known now: for what a statement does not hold, such as why."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, datetime, timedelta

from readiness.facts import timelines
from readiness.rules.timeline import Timeline
from register.clock import day_at
from register.models import Site


def timelines_from(sites: Sequence[Site], at: datetime, days: int) -> dict[int, Timeline]:
    """By site, each from its own today; sites whose days differ just now are read apart."""
    by_day: dict[date, list[Site]] = defaultdict(list)
    for site in sites:
        by_day[day_at(site, at)].append(site)
    found: dict[int, Timeline] = {}
    for day, group in by_day.items():
        read = timelines(group, day, day + timedelta(days=days))
        found.update(zip([site.pk for site in group], read, strict=True))
    return found
