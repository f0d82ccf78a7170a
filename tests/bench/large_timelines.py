"""Large invented sites over time: the tasks of `large_sites` on two shifts, people on a drawn rota."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from readiness.rules.situation import Situation, Task
from readiness.rules.timeline import AnchorTime, KitTime, PersonTime, Stay, TaskTime, Timeline, Work
from readiness.rules.windows import Window, hours_of
from tests.bench.large_sites import large_site

ZONE = ZoneInfo("Europe/London")
SHIFTS = ((time(6), time(14)), (time(14), time(22)))
AT = datetime(2026, 3, 9, 5, tzinfo=UTC)


def large_timeline(
    name: str,
    seed: int,
    tasks: int = 30,
    people: int | None = 60,
    days: int = 90,
    *,
    throughout: bool = False,
) -> Timeline:
    """Every task is worked on both shifts until it ends, or all the days `throughout`."""
    drawn = large_site(name, seed, tasks, people)
    dice = random.Random(seed)  # noqa: S311 - the same every time
    last = drawn.on + timedelta(days=days - 1)
    return Timeline(
        site=f"{name} {seed}",
        zone=ZONE,
        kits=tuple(map(KitTime, drawn.kits)),
        people=_rota(drawn, dice, days),
        anchors=tuple(map(AnchorTime, drawn.anchors)),
        tasks=tuple(
            TaskTime(
                replace(task, starts_on=date.min, ends_on=date.max),
                _works(task, drawn.on, last if throughout else min(last, task.ends_on)),
            )
            for task in drawn.tasks
        ),
        travel_minutes=drawn.travel_minutes,
        policy=drawn.policy,
    )


def _works(task: Task, first: date, last: date) -> tuple[Work, ...]:
    days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    return tuple(
        Work(*hours_of(day, *shift, ZONE), task.exposed) for day in days for shift in SHIFTS
    )


def _rota(drawn: Situation, dice: random.Random, days: int) -> tuple[PersonTime, ...]:
    """Two weeks in three, from a day of their own, each week on the other shift."""
    found = []
    for person in drawn.people:
        off = dice.randrange(21)
        windows = [_shift(drawn.on, day, off) for day in range(days) if (day + off) % 21 < 14]
        found.append(PersonTime(person, tuple(Stay(*one, person.zone) for one in windows)))
    return tuple(found)


def _shift(first: date, day: int, off: int) -> Window:
    return hours_of(first + timedelta(days=day), *SHIFTS[(day + off) // 7 % 2], ZONE)
