"""Recompute the kept statements of cover and report those that disagree with the facts."""

from __future__ import annotations

import argparse
import sys

from django.core.management.base import BaseCommand

from readiness.board.keeping import bring_up_to_date
from readiness.board.kept_copies import disagreements
from readiness.models import KeptStatement
from register import clock


class Command(BaseCommand):
    help = "Compares each site's kept statement with its facts; ends with 1 where they disagree."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--mend", action="store_true", help="make those anew that are wrong")

    def handle(self, *_args: object, mend: bool, **_options: object) -> None:
        found = list(disagreements())
        for each in found:
            self.stdout.write(f"{each.site}: kept otherwise than the facts give: {each.what}")
        if not found:
            self.stdout.write("Every kept statement of cover agrees with the facts.")
            return
        if not mend:
            self.stdout.write(f"{len(found)} statements disagree. Make them anew with --mend.")
            sys.exit(1)
        for each in found:
            KeptStatement.objects.filter(site=each.site).update(
                judged_by=""
            )  # never taken as it is
            bring_up_to_date(each.site, clock.now())
        self.stdout.write(f"{len(found)} statements were made anew.")
