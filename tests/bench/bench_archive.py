"""How long an archive takes out and in, and how much memory: python tests/bench/bench_archive.py [ITEMS ...]

Each item has a tag, four acts in its chain of the ledger, three movements and two inspections: rather
more than the demo. Every size has SQLite files of its own.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
import uuid
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
NOON = datetime(2026, 3, 9, 12, 0, tzinfo=UTC)
LOT = 2_000


def run(folder: Path, *command: str) -> tuple[float, float]:
    """Seconds, and the most memory in MB, of one command with a database of its own."""
    environment = {**os.environ, "DATA_DIR": str(folder), "DEMO": "no", "DATABASE_URL": ""}
    environment.pop("DATABASE_URL")
    begun = time.monotonic()
    measured = "import resource, subprocess, sys; subprocess.run(sys.argv[1:], check=True); print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
    asked = [sys.executable, "-c", measured, sys.executable, *command]
    told = subprocess.run(
        asked, cwd=ROOT, env=environment, check=True, capture_output=True, text=True
    )
    return time.monotonic() - begun, int(told.stdout.split()[-1]) / 1024


def fill(items: int) -> None:
    """Called by this script in a process of its own, in the database that it is given."""
    sys.path.insert(0, str(ROOT))
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "register.conf.settings")
    import django

    django.setup()
    from register.models import Product, Site

    site = Site.objects.create(code="bench", name="Bench")
    product = Product.objects.create(maker="Halvard", designation="4", equipment_class="harness")
    for first in range(1, items + 1, LOT):
        for model, rows in lots(range(first, min(first + LOT, items + 1)), site, product):
            model.objects.bulk_create(rows)


def lots(numbers: range, site: Any, product: Any) -> Iterator[tuple[Any, list[Any]]]:
    from inspections.models import Inspection
    from register.models import Act, Entry, Head, Item, Movement, Tag

    marks = {number: f"{number:08}" for number in numbers}
    yield (
        Item,
        [
            Item(
                id=n,
                code=marks[n],
                product=product,
                serial=f"S-{n}",
                serial_key=f"S{n}",
                condition="in-service",
                site=site,
            )
            for n in numbers
        ],
    )
    yield Tag, [Tag(code=marks[n], secret="s" * 16, item_id=n, issued_at=NOON) for n in numbers]
    acts, entries, heads = chains(numbers)
    yield from ((Act, acts), (Entry, entries), (Head, heads))
    yield (
        Movement,
        [
            Movement(item_id=n, kind="issued", at=NOON, to_site=site)
            for n in numbers
            for _ in range(3)
        ],
    )
    looked = {
        "kind": "detailed",
        "verdict": "pass",
        "performed_on": date(2026, 3, 9),
        "counts": True,
    }
    yield (
        Inspection,
        [
            Inspection(
                item_id=n,
                performed_at=NOON,
                recorded_at=NOON,
                site=site,
                answers={"webbing": "good"},
                **looked,
            )
            for n in numbers
            for _ in range(2)
        ],
    )


def chains(numbers: range) -> tuple[list[Any], list[Any], list[Any]]:
    from register.models import Act, Entry, Head
    from register.rules.chain import NOTHING, canonical, link

    acts, entries, heads = [], [], []
    for number in numbers:
        thing, last = {"thing_kind": "item", "thing_id": str(number)}, NOTHING
        for seq in range(1, 5):
            act = Act(id=uuid.uuid4(), verb="receive", at=NOON)
            said = {
                "act": str(act.id),
                "at": NOON.isoformat(),
                "facts": {"condition": "in-service"},
                "seq": seq,
            }
            body = canonical({**said, "thing": ["item", str(number)], "verb": "receive"})
            entries.append(
                Entry(act=act, seq=seq, before=last, hash=link(last, body), body=body, **thing)
            )
            last = entries[-1].hash
            acts.append(act)
        heads.append(Head(seq=4, hash=last, **thing))
    return acts, entries, heads


def measure(items: int) -> None:
    with tempfile.TemporaryDirectory() as kept:
        full, empty, file = Path(kept, "full"), Path(kept, "empty"), Path(kept, "all.zip")
        for folder in (full, empty):
            run(folder, "manage.py", "migrate", "-v", "0")
        run(full, __file__, "fill", str(items))
        out, out_mb = run(full, "manage.py", "take_archive", str(file))
        into, into_mb = run(empty, "manage.py", "bring_archive", str(file))
        size = file.stat().st_size / 1e6
        print(  # noqa: T201
            f"{items:>7} items {size:>7.1f} MB; out {out:>6.1f} s {out_mb:>5.0f} MB of memory;"
            f" in {into:>6.1f} s {into_mb:>5.0f} MB of memory",
            flush=True,
        )


if __name__ == "__main__":
    if sys.argv[1:2] == ["fill"]:
        fill(int(sys.argv[2]))
    else:
        for asked in sys.argv[1:] or ["2000", "20000"]:
            measure(int(asked))
