"""Read every checklist file and name the line that is wrong."""

from __future__ import annotations

import sys

from django.core.management.base import BaseCommand

from inspections.checklists import checklist_for, problems
from register.rules.classes import CLASSES


class Command(BaseCommand):
    help = "Reads fixtures/checklists and names each wrong line; ends with 1 where there is one."

    def handle(self, *_args: object, **_options: object) -> None:
        found = list(problems())
        for each in found:
            self.stdout.write(each)
        if found:
            sys.exit(1)
        points = sum(len(checklist_for(slug).points) for slug in CLASSES)
        self.stdout.write(f"{len(CLASSES)} checklists, {points} points: all sound.")
