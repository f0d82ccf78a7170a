"""Print what the register answers at a moment, as JSON: what a back-up is held to."""

from __future__ import annotations

import argparse
import json
from datetime import datetime

from django.core.management.base import BaseCommand

from register.backup.proof import prove


class Command(BaseCommand):
    help = "Prints counts, the ledger's root and a sample of answers at a moment, as JSON."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--at", type=datetime.fromisoformat, required=True)

    def handle(self, *_args: object, at: datetime, **_options: object) -> None:
        self.stdout.write(json.dumps(prove(at), sort_keys=True))
