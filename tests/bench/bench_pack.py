"""How long a pack takes, how many bytes it is, and how many queries: 600 and 5,000 items.

    DATA_DIR=/tmp/somewhere .venv/bin/python tests/bench/bench_pack.py

Makes its own database in memory and leaves nothing behind.
"""

from __future__ import annotations

import gzip
import json
import os
import sys
from datetime import timedelta
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "register.conf.settings")

import django

django.setup()

from django.db import connection  # noqa: E402
from django.test.utils import CaptureQueriesContext, setup_test_environment  # noqa: E402


def main() -> None:
    setup_test_environment()
    connection.creation.create_test_db(verbosity=0)
    from inspections.models import Inspection
    from inspections.packs.making import site_pack
    from register.actions.marking import fresh_codes
    from register.models import Item
    from tests.factories import DAY, NOON, ProductFactory, SiteFactory, inspector

    for number in (600, 5000):
        site, huw = SiteFactory(), inspector()
        products = [
            ProductFactory(equipment_class=slug)
            for slug in ("harness", "connector", "retractable", "sling", "anchor")
        ]
        plain = {"site": site, "condition": "in-service", "accepted_on": DAY - timedelta(days=400)}
        rows = [
            Item(
                code=code,
                product=products[n % 5],
                serial=f"S-{n:05}",
                serial_key=f"S{n:05}",
                made_first_on=DAY - timedelta(days=600 + n % 90),
                **plain,
            )
            for n, code in enumerate(fresh_codes(number))
        ]
        items = Item.objects.bulk_create(rows, batch_size=500)
        looks = [
            Inspection(
                item=item,
                kind="detailed",
                verdict="pass",
                counts=True,
                performed_on=DAY - timedelta(days=30 + n % 400),
                performed_at=NOON - timedelta(days=30 + n % 400),
                recorded_at=NOON,
            )
            for n, item in enumerate(items)
        ]
        Inspection.objects.bulk_create(looks, batch_size=500)
        for _ in range(2):
            begun = perf_counter()
            with CaptureQueriesContext(connection) as asked:
                pack = site_pack(site, huw, NOON, names=True)
            body = json.dumps(pack, separators=(",", ":")).encode()
            packed = gzip.compress(body, 6)
            took = perf_counter() - begun
            line = f"{number} items: {took:.2f} s, {len(body):,} bytes, {len(packed):,} gz"
            print(f"{line}, {len(asked)} queries")  # noqa: T201


main()
