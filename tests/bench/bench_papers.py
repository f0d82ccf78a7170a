"""Seconds to issue one paper of each kind, a hundred records, and a certificate of 60 and of 400
items: python tests/bench/bench_papers.py (a demo must be loaded: DEMO=yes and its DATA_DIR).

Nothing is kept: all of it is rolled back."""

from __future__ import annotations

import os
import statistics
import sys
import uuid
from pathlib import Path
from time import perf_counter
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "register.conf.settings")

import django

django.setup()

from django.db import transaction  # noqa: E402

from inspections.actions.finding import Finding  # noqa: E402
from inspections.actions.round_ends import sign_round  # noqa: E402
from inspections.actions.rounds import Plan, begin_round, look_in_round  # noqa: E402
from inspections.documents.kinds import BLANK, RECORD, ROUND, WITHDRAWAL  # noqa: E402
from inspections.models import Round  # noqa: E402
from register import clock  # noqa: E402
from register.documents.checking import check_paper, look_at_file  # noqa: E402
from register.documents.issuing import Issued, issue  # noqa: E402
from register.documents.kinds import Kind  # noqa: E402
from register.models import Item, Site, Stamp, User  # noqa: E402

TIMES = 5


def stamp(by: User | None = None) -> Stamp:
    return Stamp(by=by, at=clock.now())


def made(kind: Kind, subject: Any) -> Issued:
    return issue(kind, subject, stamp=stamp(), language="en-gb")


def tell(name: str, kind: Kind, subject: Any, times: int = TIMES) -> None:
    taken = []
    for _ in range(times):
        begun = perf_counter()
        issued = made(kind, subject)
        taken.append(perf_counter() - begun)
    begun = perf_counter()
    check_paper(issued.paper, clock.now())
    checked = perf_counter() - begun
    begun = perf_counter()
    look_at_file(issued.file)
    print(  # noqa: T201
        f"{name}: {statistics.median(taken):.2f} s (worst {max(taken):.2f}), "
        f"{len(issued.file) / 1000:.0f} kB; checked in {checked:.2f} s, its file in "
        f"{perf_counter() - begun:.2f} s"
    )


def round_of(count: int) -> Round:
    huw = User.objects.get(username="huw")
    items = list(Item.objects.with_product().filter(condition="in-service", kit=None))
    site = max({one.site for one in items}, key=lambda s: sum(one.site == s for one in items))
    here = [one for one in items if one.site == site][:count]
    plan = Plan(site=site, kind="detailed", id=uuid.uuid4())
    going = begin_round(plan, inspector=huw.person, items=here, stamp=stamp(huw))
    for item in here:
        told = Finding(
            kind="detailed", verdict="pass", performed_at=clock.now(), inspector=huw.person
        )
        look_in_round(going, item, finding=told, stamp=stamp(huw))
    sign_round(going, stated=True, stamp=stamp(huw))
    return Round.objects.select_related("site", "inspector", "signed_by__person").get(pk=going.pk)


def hundred() -> None:
    items = list(Item.objects.with_product().filter(condition="in-service")[:100])
    begun = perf_counter()
    for item in items:
        made(RECORD, item)
    print(f"{len(items)} records: {perf_counter() - begun:.1f} s")  # noqa: T201


def main() -> None:
    with transaction.atomic():
        item = Item.objects.with_product().filter(condition="in-service").first()
        out = Item.objects.with_product().filter(condition="quarantined").first()
        made(BLANK, Site.objects.first())  # letters and key are read once
        tell("a record", RECORD, item)
        tell("a notice out of use", WITHDRAWAL, out)
        hundred()
        for count in (60, 400):
            going = round_of(count)
            tell(f"a certificate of {going.lines.count()} lines", ROUND, going, 3)
        transaction.set_rollback(True)


if __name__ == "__main__":
    main()
