"""Milliseconds to keep statements of cover up to date; by hand: python tests/bench/bench_statement.py.

One change on a large site, by parts, and many small sites from nothing: those are timed on a sample
and multiplied, which the lines say. The sites are invented; the database is SQLite in a directory
that is removed, or the one that DATABASE_URL names. Figures are milliseconds of this process at work;
what the database's own process takes on PostgreSQL is not among them.
"""

from __future__ import annotations

import os
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

sys.path.insert(0, str(Path(__file__).parents[2]))

if TYPE_CHECKING:
    from readiness.models import Task
    from register.models import Shift, Site, Zone

T = TypeVar("T")
ROTA_DAYS = 90
SAMPLE = 40
SITES = 2_000
ROUNDS = 3


@dataclass(frozen=True)
class Size:
    tasks: int
    kits: int
    people: int


LARGE, SMALL = Size(30, 15, 60), Size(5, 3, 15)


def measure() -> None:
    import django

    django.setup()

    from django.core.management import call_command

    from register import clock

    call_command("migrate", verbosity=0)
    at = clock.now()
    _one_change(at)
    _from_nothing(at)


def _one_change(at: datetime) -> None:
    from readiness.board.keeping import bring_up_to_date
    from readiness.models import KeptStatement
    from readiness.rules.slices import Solver

    site = invented_site("large", LARGE, at.date(), seed=1)
    solver = Solver()
    first, _ = timed(lambda: bring_up_to_date(site, at, solver))
    print(f"large site {LARGE}, from nothing: {first:.0f} ms")  # noqa: T201
    _say("nothing that matters changed", lambda n: _other_change(site), site, solver, at)
    _say("a kit's seal broken, keeper that runs", lambda n: _unseal(site, n), site, solver, at)
    _say(
        "another seal broken, nothing remembered",
        lambda n: _unseal(site, n + ROUNDS),
        site,
        None,
        at,
    )
    _parts(site, at)
    body = KeptStatement.objects.get(site=site).body
    print(f"  kept: {len(body) / 1000:.0f} kB")  # noqa: T201


def _say(
    what: str, change: Callable[[int], None], site: Site, solver: object, at: datetime
) -> None:
    from readiness.board.keeping import bring_up_to_date

    took = []
    for number in range(ROUNDS):
        change(number)
        took.append(timed(lambda: bring_up_to_date(site, at, solver))[0])
    print(f"  {what}: {statistics.median(took):.0f} ms")  # noqa: T201


def _parts(site: Site, at: datetime) -> None:
    from readiness.board.keeping import Made, store
    from readiness.board.standings import standings
    from readiness.facts import known_of
    from readiness.rules.facts_hash import facts_hash
    from readiness.rules.statement import HORIZON_DAYS, state
    from readiness.rules.statement_json import read, written

    day = at.date()
    reading, known = timed(lambda: known_of(site, day, day + timedelta(days=HORIZON_DAYS)))
    hashing, _ = timed(lambda: facts_hash(known.timeline))
    spanning, statement = timed(lambda: state(known.timeline, day, at))
    made = Made(statement, known.version, at + timedelta(days=1), 0)
    storing, _ = timed(lambda: store(site, made))
    unpacking, _ = timed(lambda: read(written(statement)))
    looking, _ = timed(lambda: standings([site], at))
    answers = len({id(span.answers) for span in statement.spans})
    print(  # noqa: T201
        f"  by parts: reading {reading:.0f}, hash {hashing:.0f}, spans {spanning:.0f}"
        f" ({len(statement.spans)} of them, {answers} judged), storing {storing:.0f},"
        f" write and read the text {unpacking:.0f}; a page reads it in {looking:.0f} ms"
    )


def _from_nothing(at: datetime) -> None:
    from readiness.board.keeping import bring_up_to_date
    from readiness.board.standings import standings

    sites = [invented_site(f"s{n}", SMALL, at.date(), seed=n) for n in range(SAMPLE)]
    took = [timed(lambda site=site: bring_up_to_date(site, at))[0] for site in sites]
    whole = sum(took) / SAMPLE * SITES / 1000
    print(  # noqa: T201
        f"small sites {SMALL}: {statistics.median(took):.0f} ms each, slowest {max(took):.0f};"
        f" {SITES} of them, reckoned from a sample of {SAMPLE}: {whole:.0f} s in one process"
    )
    looking, _ = timed(lambda: standings(sites, at))
    print(  # noqa: T201
        f"  {SAMPLE} fresh ones read by a page: {looking:.0f} ms; {SITES} reckoned from that:"
        f" {looking / SAMPLE * SITES / 1000:.1f} s"
    )


def timed(act: Callable[[], T]) -> tuple[float, T]:
    """Milliseconds of this process, and what came of it."""
    start = time.process_time()
    found = act()
    return (time.process_time() - start) * 1000, found


def _unseal(site: Site, number: int) -> None:
    """As the act does: the kit, and the version of its site."""
    from django.db.models import F

    from register.models import Kit

    kit = Kit.objects.filter(item__site=site).order_by("pk")[number]
    Kit.objects.filter(pk=kit.pk).update(seal_intact=False)
    type(site).objects.filter(pk=site.pk).update(facts_version=F("facts_version") + 1)


def _other_change(site: Site) -> None:
    from django.db.models import F

    type(site).objects.filter(pk=site.pk).update(facts_version=F("facts_version") + 1)


def invented_site(code: str, size: Size, day: date, *, seed: int) -> Site:
    """Tasks of both shifts over the horizon, people on the rota two weeks in three."""
    from datetime import time as hour

    from tests.factories import ShiftFactory, SiteFactory, ZoneFactory
    from tests.readiness.grounds import anchor_at, rated_kit

    dice = random.Random(seed)  # noqa: S311 - the same invented site every time
    site = SiteFactory(code=code, name=f"Site {code}")
    zones = [ZoneFactory(site=site, code=f"z{n}") for n in range(4)]
    _passages(zones, dice)
    shifts = [
        ShiftFactory(site=site, name="Early", begins=hour(6), ends=hour(14)),
        ShiftFactory(site=site, name="Late", begins=hour(14), ends=hour(22)),
    ]
    for number in range(size.kits):
        rated_kit(dice.choice(zones), f"{code}-{number:02}", day)
    _people(size.people, zones, shifts, day, dice)
    anchor = anchor_at(zones[0], day)
    for number in range(size.tasks):
        _task(number, zones, shifts, day, dice).rescue_anchors.add(anchor)
    return site


def _passages(zones: list[Zone], dice: random.Random) -> None:
    from register.models import Passage

    Passage.objects.bulk_create(
        Passage(start=one, end=two, minutes=dice.choice((1, 2, 3, 4)))
        for place, one in enumerate(zones)
        for two in zones[place + 1 :]
    )


def _people(
    count: int, zones: list[Zone], shifts: list[Shift], day: date, dice: random.Random
) -> None:
    from readiness.models import RotaEntry
    from tests.factories import PersonFactory
    from tests.readiness.grounds import train

    entries = []
    for _ in range(count):
        person, zone, off = PersonFactory(), dice.choice(zones), dice.randrange(21)
        if dice.random() < 0.5:
            train(person, day)
        entries += [
            RotaEntry(
                site=zone.site,
                person=person,
                zone=zone,
                shift=shifts[(n // 14 + off) % 2],
                day_on=day + timedelta(days=n),
            )
            for n in range(ROTA_DAYS)
            if (n + off) % 21 < 14
        ]
    RotaEntry.objects.bulk_create(entries)


def _task(
    number: int, zones: list[Zone], shifts: list[Shift], day: date, dice: random.Random
) -> Task:
    from readiness.models import Exposure
    from tests.factories import PersonFactory
    from tests.readiness.grounds import arrest_task, plan_for

    task = arrest_task(
        dice.choice(zones), dice.choice(shifts), f"T-{number:02}", day, dice.randint(5, 90)
    )
    Exposure.objects.create(task=task, person=PersonFactory())
    plan_for(task, day)
    return task


def main() -> None:
    with tempfile.TemporaryDirectory() as place:
        os.environ |= {"DATA_DIR": place, "DJANGO_SETTINGS_MODULE": "register.conf.settings"}
        os.environ.setdefault("DATABASE_URL", f"sqlite:///{place}/bench.sqlite3")
        measure()


if __name__ == "__main__":
    main()
