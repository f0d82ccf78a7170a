"""Seconds and memory to bring a workbook of 100,000 lines into an empty register, and again.

Run by hand: `python tests/bench/bench_bring_in.py [ROWS]`. The promise is under 60 s and 500 MB in
all. Memory is that of a process of its own, so that making the workbook does not count.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from datetime import UTC, date, datetime
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

DAY = date(2026, 11, 25)
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


def measure(path: Path) -> None:
    """Both imports, by the function the pages use."""
    import django

    django.setup()

    from django.core.management import call_command

    from inspections.intake.apply import bring_in_workbook
    from register.intake.specimen_stock import SITES
    from register.models import Item, Site, Stamp

    call_command("migrate", verbosity=0)
    for number, (name, *_) in enumerate(SITES):
        Site.objects.create(code=f"s{number}", name=name)
    for time_round in ("first time", "same file again"):
        start, worked = time.perf_counter(), time.process_time()
        counts = bring_in_workbook(
            path.read_bytes(),
            path.name,
            stamp=Stamp(by=None, at=NOON),
            on=DAY,
            date_order="day-first",
        )
        most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
        seconds = time.perf_counter() - start
        worked = time.process_time() - worked
        print(  # noqa: T201
            f"  {time_round:<18}{seconds:6.1f} s ({worked:.1f} s of work), {most} MB at most so far;"
            f" {counts.intake.counts}, {Item.objects.count()} items"
        )


def main() -> None:
    from register.intake.specimen import build_specimen
    from register.intake.specimen_files import specimen_xlsx

    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "k.xlsx"
        path.write_bytes(specimen_xlsx(build_specimen(DAY, 7, rows)))
        print(f"{rows} lines, {path.stat().st_size // 1024} kB", flush=True)  # noqa: T201
        settings = {"DJANGO_SETTINGS_MODULE": "register.conf.settings", "DATA_DIR": folder}
        command = [sys.executable, __file__, "--measure", str(path)]
        subprocess.run(command, check=True, env={**os.environ, **settings})


if __name__ == "__main__":
    if sys.argv[1:2] == ["--measure"]:
        measure(Path(sys.argv[2]))
    else:
        main()
