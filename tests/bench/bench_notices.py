"""How long a safety notice takes over a large register. Run by hand: `python tests/bench/bench_notices.py`."""

from __future__ import annotations

import os
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

if TYPE_CHECKING:
    from inspections.models import Notice

ITEMS = 100_000
OF_THE_PRODUCT = 20_000
MEANT = 500
DAY = date(2026, 3, 9)


def measure() -> None:
    import django

    django.setup()

    from django.core.management import call_command

    from inspections.actions.notices import match_items
    from inspections.models import Notice
    from register.models import Item
    from tests.factories import ProductFactory, SiteFactory, stamp

    call_command("migrate", verbosity=0)
    site, ours, other = SiteFactory(), ProductFactory(maker="Orla"), ProductFactory(maker="Brack")
    rows = []
    for number in range(ITEMS):
        product = ours if number < OF_THE_PRODUCT else other
        serial = f"A{number:06}"
        made = date(2020, 1, 1) + timedelta(days=number % 2000)
        rows.append(
            Item(
                code=f"{number:08}",
                product=product,
                site=site,
                serial=serial,
                serial_key=serial,
                made_first_on=made,
                made_last_on=made + timedelta(days=30),
                made_precision="month",
                condition="in-service",
            )
        )
    Item.objects.bulk_create(rows, batch_size=500)
    rows.clear()
    last = f"A{MEANT - 1:06}"
    narrow = Notice(
        issuer="Orla",
        reference="1",
        kind="stop-use",
        text="stop",
        received_on=DAY,
        products=[["Orla", ""]],
        serials=[["A000000", last]],
    )
    wide = Notice(serials=[["A000000", last]])
    for name, notice in (("one product of many", narrow), ("no product named", wide)):
        _told(f"match, {name}", partial(_count, notice))
    _told("enter it", partial(_enter, narrow))
    some = list(Item.objects.select_related("product")[:1000])
    _told("ask again about 1,000 items", lambda: len(match_items(some, stamp=stamp())))


def _count(notice: Notice) -> int:
    from inspections.matching import found_by, products_meant, rule_of

    rule = rule_of(notice)
    return sum(1 for _ in found_by(rule, products_meant(rule)))


def _enter(notice: Notice) -> int:
    from inspections.actions.notices import issue_notice
    from tests.factories import stamp

    return issue_notice(notice, stamp=stamp()).matches.count()


def _told(what: str, act: Callable[[], int]) -> None:
    began = time.perf_counter()
    found = act()
    seconds = time.perf_counter() - began
    tracemalloc.start()
    peak = 0
    if what.startswith("match"):
        act()
        peak = tracemalloc.get_traced_memory()[1] // 1_000_000
    tracemalloc.stop()
    print(f"{what}: {found} in {seconds:.2f} s" + (f", peak {peak} MB" if peak else ""))  # noqa: T201


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "register.conf.settings")
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DATA_DIR"] = folder
        measure()
