"""How long the work ahead takes: counting 100,000 items by week, and levelling one region.

    DATA_DIR=/tmp/bench .venv/bin/python -m tests.bench.bench_work_ahead

Needs a database of its own in DATA_DIR; the items are rolled back.
"""

from __future__ import annotations

import os
import sys
import time
from dataclasses import replace
from datetime import timedelta

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "register.conf.settings")
django.setup()

from django.core.management import call_command  # noqa: E402
from django.db import connection, transaction  # noqa: E402
from django.test.utils import CaptureQueriesContext  # noqa: E402

from inspections.models import Due  # noqa: E402
from inspections.rates_board import life_wave  # noqa: E402
from inspections.regime import regime_in_force  # noqa: E402
from inspections.rules.levelling import level_what_fits  # noqa: E402
from inspections.work_facts import capacity_from, loads_of, question_of  # noqa: E402
from register.models import Item, Product, Site  # noqa: E402
from tests.factories import DAY  # noqa: E402
from tests.inspections.visit_questions import faults, region  # noqa: E402

ITEMS, SITES = 100_000, 20
CLASSES = ("harness", "energy-absorbing-lanyard", "connector", "retractable")


def fill() -> list[Site]:
    """Many items whose stored due days spread over a year."""
    sites = [Site.objects.create(code=f"s{n}", name=f"S {n}") for n in range(SITES)]
    products = [
        Product.objects.create(maker="M", designation=slug, equipment_class=slug)
        for slug in CLASSES
    ]
    items = [
        Item(
            code=f"{n:08}",
            product=products[n % 4],
            serial=str(n),
            serial_key=str(n),
            site=sites[n % SITES],
            condition="in-service",
            made_first_on=DAY - timedelta(days=n % 2000),
        )
        for n in range(ITEMS)
    ]
    Item.objects.bulk_create(items, batch_size=2000)
    mark = regime_in_force().mark
    rows = [
        Due(item=item, last_good_on=DAY + timedelta(days=n % 365), clock="detailed", regime=mark)
        for n, item in enumerate(items)
    ]
    Due.objects.bulk_create(rows, batch_size=2000)
    return sites


def timed(name: str, work: object) -> None:
    begun = time.process_time()
    with CaptureQueriesContext(connection) as asked:
        found = work()  # type: ignore[operator]
    said = f"{time.process_time() - begun:.2f} s CPU, {len(asked)} queries"
    sys.stdout.write(f"{name}: {said} {found}\n")


def main() -> None:
    call_command("migrate", verbosity=0)
    with transaction.atomic():
        sites = fill()
        timed("13 weeks, 100,000 items", lambda: len(loads_of(sites, DAY, 13)))
        timed("52 weeks, 100,000 items", lambda: len(loads_of(sites, DAY, 52)))
        timed("ends of life, 100,000 items", lambda: len(life_wave(sites, DAY).months))
        one = sites[:1]
        capacity = capacity_from(DAY)
        timed("the question of one site", lambda: len(question_of(one, DAY, 91, capacity).late))
        transaction.set_rollback(True)
    for sites_in_it in (1, 8, 25):
        for seed in range(3):
            asked = region(seed, sites=sites_in_it)
            begun = time.process_time()
            plan, left_out, _least = level_what_fits(asked)
            spent = time.process_time() - begun
            sys.stdout.write(
                f"2,000 items, {sites_in_it} sites, 6 inspectors, 13 weeks: {spent:.2f} s CPU,"
                f" {len(plan.visits)} visits, at most {plan.visits_above(asked.visit_cost)} above"
                f" the best, {len(left_out)} without room\n"
            )
            rest = tuple(piece for piece in asked.pieces if piece.key not in set(left_out))
            assert faults(replace(asked, pieces=rest), plan) == []


if __name__ == "__main__":
    main()
