"""Bind the heads of all chains in one hash; print it, or write it sealed to be kept elsewhere."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from register import clock
from register.actions.ledger import make_checkpoint
from register.documents.sealing import seal_apart


class Command(BaseCommand):
    help = "Binds the heads of all chains in one hash. Let it run daily, --to a place elsewhere."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument(
            "--to",
            type=Path,
            metavar="FOLDER",
            help="write it there with its seal beside it (.p7s)",
        )

    def handle(self, *_args: object, to: Path | None, **_options: object) -> None:
        made = make_checkpoint(at=clock.now())
        self.stdout.write(f"{made.at:%Y-%m-%d %H:%M:%S} UTC  {made.chains} chains  {made.root}")
        if to is None:
            return
        said = {"at": made.at.isoformat(), "chains": made.chains, "root": made.root}
        content = json.dumps(said, sort_keys=True).encode()
        file = to / f"checkpoint-{made.at:%Y-%m-%d-%H%M%S}.json"
        try:
            file.write_bytes(content)
            file.with_suffix(".json.p7s").write_bytes(seal_apart(content))
        except OSError as error:
            raise CommandError(f"It could not be written to {to}: {error.strerror}.") from error
        self.stdout.write(f"Written to {file}, its seal beside it.")
