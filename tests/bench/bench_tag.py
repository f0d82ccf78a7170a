"""The tag page against a bare view that gets one row and renders the same template.

Run by hand: `python tests/bench/bench_tag.py`. Both answer in turn within one run, so that the ratio
holds on any machine; the promise is at most 3 for an item that is no kit. A kit asks for its parts.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.test import RequestFactory

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

if TYPE_CHECKING:
    from register.models import Item

ROUNDS = 60
A_ROUND = 5  # answers of each view before it is the other one's turn


def measure() -> None:
    import django

    django.setup()

    from django.core.management import call_command

    from inspections.views.tag import tag
    from register import clock
    from tests.factories import ItemFactory, SiteFactory, kit_of, passed

    call_command("migrate", verbosity=0)
    site = SiteFactory()
    today = clock.today(site)
    plain = ItemFactory(site=site)
    for number in range(4):
        passed(plain, today - timedelta(days=30 * number))
    items = {"harness": plain, "rescue kit": kit_of(site, on=today).item}
    for name, item in items.items():
        pairs = [(seconds(tag, item), seconds(bare, item)) for _ in range(ROUNDS)]
        ours, theirs = (statistics.median(side) for side in zip(*pairs, strict=True))
        ratio = statistics.median(one / other for one, other in pairs)
        words = f"{ours * 1000:.2f} ms against {theirs * 1000:.2f} ms, {ratio:.1f} times"
        print(f"  {name:<12}{words}")  # noqa: T201


def bare(request: HttpRequest, code: str, secret: str) -> HttpResponse:
    """One row, by its code, into the same template."""
    from register.models import Item

    item = Item.objects.select_related("product", "site").get(code=code)
    verdict = {"usable": True, "through": date(2027, 4, 23), "sentence": ""}
    page = {"verdict": verdict, "item": item, "code": item.code, "serial_tail": item.serial}
    return render(request, "inspections/tag.html", {**page, "form": None})


def seconds(view: Callable[..., HttpResponse], item: Item) -> float:
    """Of one answer of the view about the item, in the mean of a few."""
    from django.contrib.auth.models import AnonymousUser

    request = RequestFactory().get("/")
    request.user = AnonymousUser()
    start = time.perf_counter()
    for _ in range(A_ROUND):
        answer = view(request, item.code, secret="")
    if answer.status_code != 200:
        raise SystemExit(f"{view.__name__} answered {answer.status_code}")
    return (time.perf_counter() - start) / A_ROUND


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        os.environ |= {"DATA_DIR": place, "DJANGO_SETTINGS_MODULE": "register.conf.settings"}
        os.environ["DATABASE_URL"] = f"sqlite:///{place}/bench.sqlite3"
        measure()
