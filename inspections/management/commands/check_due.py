"""Recompute the stored due days and report those that disagree with the records."""

from __future__ import annotations

import argparse
import sys

from django.core.management.base import BaseCommand
from django.db import transaction

from inspections.conditions import refresh_due
from inspections.due_copies import Disagreement, disagreements


class Command(BaseCommand):
    help = "Compares each item's stored due day with its records; ends with 1 where they disagree."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--mend", action="store_true", help="put the stored copies right")

    def handle(self, *_args: object, mend: bool, **_options: object) -> None:
        found = list(disagreements())
        for each in found:
            self.stdout.write(_line(each))
        if not found:
            self.stdout.write("Every stored due day agrees with the records.")
            return
        if not mend:
            self.stdout.write(f"{len(found)} stored due days disagree. Put them right with --mend.")
            sys.exit(1)
        with transaction.atomic():
            refresh_due([each.item for each in found])
        self.stdout.write(f"{len(found)} stored due days were put right.")


def _line(each: Disagreement) -> str:
    stored = f"{each.stored.clock} {each.stored.last_good_on}" if each.stored else "nothing"
    right = f"{each.right.name} {each.right.last_day}"
    return f"{each.item.shown_code}: stored {stored}, the records give {right}"
