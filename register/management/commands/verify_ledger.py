"""Verify every chain of the ledger; ends with 1 and the first misfit of each broken chain."""

from __future__ import annotations

import sys
from typing import Any

from django.core.management.base import BaseCommand

from register.actions.ledger import verify_ledger


class Command(BaseCommand):
    help = "Verify every chain of the ledger."

    def handle(self, *args: Any, **options: Any) -> None:
        report = verify_ledger()
        self.stdout.write(f"{report.entries} entries in {report.chains} chains read.")
        for misfit in report.misfits:
            self.stdout.write(f"DOES NOT FIT: {misfit}")
        if report.misfits:
            sys.exit(1)
        self.stdout.write("Every chain fits.")
