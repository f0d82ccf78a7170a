"""`manage.py take_archive FILE.zip`: the whole register as one file."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import IO, Any

from django.core.management.base import BaseCommand, CommandError

from readiness.archive.taking import take_archive
from register.archive.writing import Written


class Command(BaseCommand):
    help = "Write the whole register to one file: tables, files, ledger; no passwords and no keys."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="where to write it; must not be there yet")

    def handle(self, *args: Any, **options: Any) -> None:
        path: Path = options["file"]
        told = self.stdout.write if options["verbosity"] > 1 else None
        try:
            out = path.open("xb")
        except FileExistsError as error:
            raise CommandError(f"{path} is there already. Name a file that is not.") from error
        except OSError as error:
            raise CommandError(f"{path} cannot be written: {error}.") from error
        done = _whole_or_gone(path, out, told)
        rows = sum(done.rows.values())
        self.stdout.write(
            f"{rows} rows of {len(done.rows)} tables and {done.files} files in {path}."
        )
        for lost in done.lost:
            self.stdout.write(f"NOT FOUND on the disk, so not in it: {lost}")
        self.stdout.write(f"Keep this hash elsewhere: {done.sha256}")


def _whole_or_gone(path: Path, out: IO[bytes], told: Any) -> Written:
    """No half archive is left where something goes wrong, or somebody ends it."""
    try:
        with out:
            return take_archive(out, told)
    except BaseException:
        path.unlink(missing_ok=True)
        raise
