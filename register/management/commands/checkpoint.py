"""Bind the heads of all chains in one hash, and print it to be kept elsewhere."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand

from register import clock
from register.actions.ledger import make_checkpoint


class Command(BaseCommand):
    help = "Bind the heads of all chains in one hash."

    def handle(self, *args: Any, **options: Any) -> None:
        made = make_checkpoint(at=clock.now())
        self.stdout.write(f"{made.at:%Y-%m-%d %H:%M:%S} UTC  {made.chains} chains  {made.root}")
