"""`manage.py make_workbook FILE.xlsx --rows 600 --seed 7 --on 2026-11-25`: an untidy workbook."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from register.intake.specimen import build_specimen
from register.intake.specimen_files import specimen_csv, specimen_xlsx


class Command(BaseCommand):
    help = "Write a made-up workbook of equipment, as untidy as real ones, to try the import with."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="where to write it: .xlsx or .csv")
        parser.add_argument("--rows", type=int, default=600, help="how many lines with items")
        parser.add_argument("--seed", type=int, default=7, help="the same seed, the same workbook")
        parser.add_argument("--on", type=date.fromisoformat, required=True, help="2026-11-25")

    def handle(self, *args: Any, **options: Any) -> None:
        target: Path = options["file"]
        if options["rows"] < 100:  # noqa: PLR2004
            raise CommandError("Ask for 100 rows or more: fewer do not hold every kind of mess.")
        writers = {".xlsx": specimen_xlsx, ".csv": specimen_csv}
        writer = writers.get(target.suffix.lower())
        if writer is None:
            raise CommandError(f"Name a file that ends in .xlsx or .csv, not {target.name!r}.")
        made = build_specimen(options["on"], options["seed"], options["rows"])
        target.write_bytes(writer(made))
        self.stdout.write(f"{target}: {options['rows']} lines, {made.mess.bad} of them unusable.")
