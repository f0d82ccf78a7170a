"""Make a back-up while the register is in use: database, files, hashes and what proves them."""

from __future__ import annotations

import argparse
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from register import clock
from register.actions.backups import note_backup
from register.backup.writing import write_backup
from register.rules.backup import NotWhole


class Command(BaseCommand):
    help = "Makes a back-up of database and files in one file, while the register is in use."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("target", type=Path, help="the file to make, or a folder to make it in")
        parser.add_argument(
            "--to",
            action="append",
            default=[],
            metavar="age1...",
            help="encrypt it so that only the owner of this age key can read it; may be repeated",
        )

    def handle(self, *_args: object, target: Path, to: list[str], **_options: object) -> None:
        at = clock.now()
        if target.is_dir():
            ending = ".tar.age" if to else ".tar"
            target /= f"tallyhook-{at:%Y-%m-%d-%H%M%S}{ending}"
        try:
            made = write_backup(target.absolute(), at, to)
        except (NotWhole, OSError) as reason:
            raise CommandError(f"No back-up was made. {reason}") from reason
        note_backup(
            made.path.name, size=made.bytes, sha256=made.sha256, encrypted=made.encrypted, at=at
        )
        rows = sum(map(int, made.manifest.proof["counts"].values()))
        self.stdout.write(
            f"{made.path}: {made.bytes:,} bytes, {rows:,} rows, {len(made.manifest.members) - 1} files"
        )
        self.stdout.write(f"SHA-256 {made.sha256}")
        if not to:
            self.stdout.write("It is not encrypted, and holds all names and secrets: lock it away.")
