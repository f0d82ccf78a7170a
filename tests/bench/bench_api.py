"""The verdict by tag over the API against the tag page, and lists of items page by page.

Run by hand: `python tests/bench/bench_api.py`. Both answer in turn within one run, through the whole
of Django, so that the ratio holds on any machine. The API asks besides who the token is, what its
owner may and which item is theirs to see.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

ROUNDS = 60
A_ROUND = 5  # answers of each before it is the other one's turn


def measure() -> None:
    import django

    django.setup()

    from django.core.management import call_command
    from django.test import Client

    from register import clock
    from register.api import bearer
    from tests.api_callers import Asker, token_of
    from tests.factories import ItemFactory, SiteFactory, kit_of, passed, user_as

    call_command("migrate", verbosity=0)
    bearer.MOST_REQUESTS = 10**9
    site = SiteFactory()
    today = clock.today(site)
    items = [ItemFactory(site=site) for _ in range(200)]
    for item in items:
        passed(item, today - timedelta(days=30))
    kit = kit_of(site, on=today).item
    user = user_as("stores-controller", site)
    system, page = Asker(token_of(user, through_on=today)), Client()
    for name, item in (("harness", items[0]), ("rescue kit", kit)):
        told = f"/items/{item.code}/verdict"
        compare(
            name, lambda told=told: system.get(told), lambda item=item: page.get(f"/t/{item.code}/")
        )
    for limit in (50, 200):
        took = [seconds(lambda limit=limit: system.get(f"/items?limit={limit}")) for _ in range(10)]
        print(f"  {limit} items  {statistics.median(took) * 1000:.1f} ms")  # noqa: T201


def compare(name: str, ours: Callable[[], object], theirs: Callable[[], object]) -> None:
    pairs = [(seconds(ours), seconds(theirs)) for _ in range(ROUNDS)]
    one, other = (statistics.median(side) for side in zip(*pairs, strict=True))
    ratio = statistics.median(left / right for left, right in pairs)
    words = f"{one * 1000:.2f} ms against {other * 1000:.2f} ms, {ratio:.2f} times"
    print(f"  {name:<12}{words}")  # noqa: T201


def seconds(ask: Callable[[], object]) -> float:
    """Of one answer, in the mean of a few."""
    start = time.perf_counter()
    for _ in range(A_ROUND):
        answer = ask()
        if getattr(answer, "status_code", 0) != 200:
            raise SystemExit(f"answered {getattr(answer, 'status_code', answer)}")
    return (time.perf_counter() - start) / A_ROUND


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        os.environ |= {"DATA_DIR": place, "DJANGO_SETTINGS_MODULE": "register.conf.settings"}
        os.environ["ALLOWED_HOSTS"] = "testserver"
        os.environ["DATABASE_URL"] = f"sqlite:///{place}/bench.sqlite3"
        measure()
