"""`manage.py fetch_rotas`: asks every calendar that a rota follows, once or again and again."""

from __future__ import annotations

import argparse
import time

from django.core.management.base import BaseCommand
from django.db import close_old_connections

from readiness.intake.rota.feeding import refresh
from readiness.models import RotaFeed
from register import clock
from register.models import Stamp


class Command(BaseCommand):
    help = "Asks the calendars that rotas follow. Run it every quarter of an hour, or with --every."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument(
            "--every", type=float, help="minutes between two rounds; ends with Ctrl-C"
        )

    def handle(self, *_args: object, every: float | None, **_options: object) -> None:
        while True:
            self.stdout.write(self.round())
            if not every:
                return
            time.sleep(every * 60)
            close_old_connections()

    def round(self) -> str:
        """Each by itself; one in trouble keeps no other from being asked."""
        feeds = list(RotaFeed.objects.followed().select_related("site", "zone"))
        for feed in feeds:
            refresh(feed, stamp=Stamp(by=None, at=clock.now(), device="calendar"))
        silent = sum(1 for feed in feeds if feed.trouble)
        return f"{len(feeds)} calendars asked, {silent} without a good answer."
