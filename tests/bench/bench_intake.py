"""Seconds and memory to read and plan a workbook of 100,000 lines.

Run by hand: `python tests/bench/bench_intake.py [ROWS]`. The promise for the whole import is under
60 s and 500 MB; this is the part without the database. Memory is that of a process of its own,
so that making the workbook does not count.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TypeVar

sys.path.insert(0, str(Path(__file__).parents[2]))

from register.intake.choices import Choices
from register.intake.known import known_from
from register.intake.leftover import leftover
from register.intake.plan import plan_rows
from register.intake.reading import read
from register.intake.rows import Row
from register.intake.specimen import DATE_ORDER, MONTHS_BETWEEN, build_specimen
from register.intake.specimen_files import specimen_csv, specimen_xlsx
from register.intake.survey import guess_sheets
from register.rules.lifespan import add_months

DAY = date(2026, 11, 25)
T = TypeVar("T")


def due_of(row: Row) -> date | None:
    return add_months(row.last_inspected_on, MONTHS_BETWEEN) if row.last_inspected_on else None


def timed(name: str, work: Callable[[], T]) -> T:
    start = time.perf_counter()
    done = work()
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(f"  {name:<28}{time.perf_counter() - start:7.1f} s, {most} MB at most so far")  # noqa: T201
    return done


def measure(path: Path) -> None:
    """What an import does before and after the database."""
    sheets = timed("open", lambda: read(path.read_bytes(), path.name))
    mapping = timed("guess the columns", lambda: guess_sheets(sheets))
    choices = Choices(on=DAY, date_order=DATE_ORDER)
    plan = timed("plan", lambda: plan_rows(sheets, mapping, choices, due_of=due_of))
    timed("write the leftover", lambda: leftover(sheets, mapping, plan, lambda _row: "reason"))
    print(f"  {plan.counts}")  # noqa: T201
    known = timed(
        "gather what is known", lambda: known_from((r.key, r.particulars) for r in plan.of("new"))
    )
    again = timed("plan it a second time", lambda: plan_rows(sheets, mapping, choices, known))
    print(f"  {again.counts}")  # noqa: T201


def main() -> None:
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    with tempfile.TemporaryDirectory() as folder:
        made = build_specimen(DAY, 7, rows)
        for name, content in (("k.xlsx", specimen_xlsx(made)), ("k.csv", specimen_csv(made))):
            path = Path(folder) / name
            path.write_bytes(content)
            print(f"{name}, {rows} lines, {len(content) // 1024} kB", flush=True)  # noqa: T201
            subprocess.run([sys.executable, __file__, "--measure", str(path)], check=True)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--measure"]:
        measure(Path(sys.argv[2]))
    else:
        main()
