"""Seconds to print 1,000 labels on each sheet: python tests/bench/bench_labels.py"""

from __future__ import annotations

import os
import random
import statistics
import sys
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "register.conf.settings")
os.environ.setdefault("PUBLIC_URL", "https://gear.example.org")

import django

django.setup()

from register.labels import Label, label_sheet, qr_fit  # noqa: E402
from register.rules.label_grid import SHEETS, Sheet  # noqa: E402
from register.rules.tags import code_from, secret_from  # noqa: E402

LABELS = 1000
ROUNDS = 3


def some_labels() -> list[Label]:
    draw = random.Random(1).randrange  # noqa: S311
    return [Label(code_from(draw), secret_from(draw), "4471", "Harness") for _ in range(LABELS)]


def seconds(labels: list[Label], sheet: Sheet) -> list[float]:
    taken = []
    for _ in range(ROUNDS):
        begun = perf_counter()
        label_sheet(labels, sheet)
        taken.append(perf_counter() - begun)
    return taken


def main() -> None:
    labels = some_labels()
    for sheet in SHEETS.values():
        taken, fit = seconds(labels, sheet), qr_fit(sheet, labels)
        print(  # noqa: T201
            f"{sheet.name}: {LABELS} labels in {statistics.median(taken):.2f} s "
            f"(best {min(taken):.2f}), {fit.modules} modules of {fit.module_mm:.2f} mm, "
            f"level {fit.level}, {len(label_sheet(labels, sheet)) / 1000:.0f} kB"
        )


if __name__ == "__main__":
    main()
