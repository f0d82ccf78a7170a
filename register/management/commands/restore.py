"""Put a back-up into an empty place and prove that it answers as the original did."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from register.backup.restoring import check_backup, opened, restore
from register.rules.backup import NotWhole


class Command(BaseCommand):
    help = "Puts a back-up into an empty DATA_DIR and database, and proves it; or only checks it."
    requires_system_checks = ()

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("backup", type=Path)
        parser.add_argument("--identity", type=Path, help="file of the age identity that opens it")
        parser.add_argument(
            "--check", action="store_true", help="read every byte of it and put nothing back"
        )

    def handle(
        self, *_args: object, backup: Path, identity: Path | None, check: bool, **_options: object
    ) -> None:
        try:
            if check:
                with opened(backup, identity) as tar:
                    manifest = check_backup(tar)
                self.stdout.write(f"Whole and unaltered; made {manifest.made_at}.")
                return
            manifest, differing = restore(backup, identity)
        except (NotWhole, OSError) as reason:
            raise CommandError(str(reason)) from reason
        for line in differing:
            self.stdout.write(f"DIFFERS: {line}")
        if differing:
            self.stdout.write("It does not answer as the original did. Do not go on with it.")
            sys.exit(1)
        asked = sum(len(answers) for answers in manifest.proof.values())
        self.stdout.write(
            f"Put back as of {manifest.made_at}; all of {asked} answers are the same."
        )
