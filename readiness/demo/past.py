"""A year of the demo's past cover. Invented, like all of the demo: nobody stated it at the time."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from random import Random
from zoneinfo import ZoneInfo

from readiness.demo.world import World
from readiness.models import PastShift, Task
from readiness.rules.windows import hours_of
from register.models import Site

DAYS = 364
BETTER = 0.16
"""By how much of all shifts cover grows over the year."""


def past(world: World) -> None:
    """Each task's shifts of the year before, a little better covered from month to month."""
    dice = Random(7)  # noqa: S311 - the same invented past every time
    rows = [
        row for site in Site.objects.order_by("code") for row in _of_site(site, world.day, dice)
    ]
    PastShift.objects.bulk_create(rows, batch_size=2000)


def _of_site(site: Site, today: date, dice: Random) -> Iterator[PastShift]:
    tasks = Task.objects.filter(site=site).exclude(system="collective").order_by("code")
    zone = ZoneInfo(site.time_zone)
    worked = [(task.code, shift) for task in tasks for shift in task.shifts.order_by("pk")]
    for ago in range(DAYS, 0, -1):
        day = today - timedelta(days=ago)
        if day.weekday() == 6:  # noqa: PLR2004 - nobody works on Sundays
            continue
        share = 0.74 + BETTER * (1 - ago / DAYS)
        for code, shift in worked:
            begins, ends = hours_of(day, shift.begins, shift.ends, zone)
            minutes = (ends - begins) / timedelta(minutes=1)
            covered = minutes if dice.random() < share else minutes * dice.choice((0, 0, 0.5))
            backed = minutes if covered == minutes and dice.random() < share - 0.35 else 0
            yield PastShift(
                site=site,
                task=code,
                day_on=day,
                begins_at=begins,
                ends_at=ends,
                minutes=minutes,
                covered_minutes=covered,
                backed_minutes=backed,
            )
