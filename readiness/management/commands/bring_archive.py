"""`manage.py bring_archive FILE.zip`: a whole register into an empty one."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from readiness.archive.bringing import bring_archive
from register.refusal import Refusal


class Command(BaseCommand):
    help = "Bring an archive of a whole register into an empty one, all of it or nothing."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("file", type=Path)

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            done = bring_archive(options["file"], self._step(options["verbosity"]))
        except Refusal as refusal:
            raise CommandError(f"{refusal.sentence} Nothing was brought in.") from refusal
        self.stdout.write(f"{done.rows} rows and {done.files} files are in.")
        self.stdout.write(f"The ledger fits: {done.entries} entries, root {done.root}.")
        for lost in done.lost:
            self.stdout.write(f"LOST before the archive was made: {lost}")
        self.stdout.write(
            "No user has a password yet: manage.py changepassword USERNAME gives one."
        )

    def _step(self, verbosity: int) -> Any:
        return self.stdout.write if verbosity > 1 else None
