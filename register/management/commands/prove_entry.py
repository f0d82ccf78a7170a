"""Prove that one entry belongs to the ledger, without showing the rest of it."""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict

from django.core.management.base import BaseCommand, CommandError

from register.actions.ledger import prove_entry


class Command(BaseCommand):
    help = (
        "Prints, as JSON, an entry and what leads from it to the root of all chains as they stand."
    )

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("kind", help="such as item")
        parser.add_argument("thing", help="its number in the ledger")
        parser.add_argument("seq", type=int, help="the number of the entry in its chain")

    def handle(self, *_args: object, kind: str, thing: str, seq: int, **_options: object) -> None:
        proof = prove_entry(kind, thing, seq)
        if proof is None:
            raise CommandError(f"The chain of {kind} {thing} has no entry {seq}.")
        self.stdout.write(json.dumps({**asdict(proof), "root": proof.root()}, sort_keys=True))
