"""Ask every notice in force of every item again, and report stored matches that are not what it says."""

from __future__ import annotations

import argparse
import sys

from django.core.management.base import BaseCommand

from inspections.actions.notices import match_items
from inspections.matching import wrong_matches
from register import clock
from register.models import Stamp


class Command(BaseCommand):
    help = "Compares each stored match of a safety notice with the records; ends with 1 where they disagree."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--mend", action="store_true", help="put the stored matches right")

    def handle(self, *_args: object, mend: bool, **_options: object) -> None:
        found = list(wrong_matches())
        for each in found:
            right = each.right.certainty
            self.stdout.write(f"{each.notice}: {each.item.shown_code} is “{right}” by the records")
        if not found:
            self.stdout.write("Every stored match agrees with the records.")
            return
        if not mend:
            self.stdout.write(f"{len(found)} matches disagree. Put them right with --mend.")
            sys.exit(1)
        items = list({each.item.pk: each.item for each in found}.values())
        match_items(items, stamp=Stamp(by=None, at=clock.now(), device="check_notices"))
        self.stdout.write(f"{len(found)} matches were put right.")
