"""`manage.py send_messages`: makes the morning's messages and empties the outbox, until it is ended.

It may be killed at any moment and run twice at once: what is in hand has a lease, and each fact is
told to each once. With --once it does so one time, for a timer of the system's own.
"""

from __future__ import annotations

import argparse
import logging
import time
from collections.abc import Callable

from django.conf import settings
from django.core.management.base import BaseCommand
from django.db import close_old_connections

from readiness.messages.mornings import tell_the_morning
from register import clock
from register.messages.outbox import note_look, send_waiting

logger = logging.getLogger(__name__)

LOOKS_EVERY = 20.0  # seconds


class Command(BaseCommand):
    help = "Makes the messages of the morning and sends what waits. Ends with Ctrl-C."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--once", action="store_true", help="do it one time and stop")
        parser.add_argument(
            "--every", type=float, default=LOOKS_EVERY, help="seconds between looks"
        )

    def handle(self, *_args: object, once: bool, every: float, **_options: object) -> None:
        if once:
            told, sent = self.look()
            where = "" if settings.MAIL_ON else " EMAIL_URL is not set: they stay on the pages."
            self.stdout.write(f"{told} users were thought of, {sent} messages were sent.{where}")
            return
        self.run_until_ended(lambda: time.sleep(every))

    def run_until_ended(self, pause: Callable[[], None]) -> None:
        while True:
            close_old_connections()
            try:
                self.look()
            except Exception:
                logger.exception("Looking for messages failed; tried again soon.")
            pause()

    def look(self) -> tuple[int, int]:
        """One failing morning must not keep back what waits; how many were thought of, and sent."""
        note_look(clock.now())
        told = 0
        try:
            told = tell_the_morning(clock.now())
        except Exception:
            logger.exception("The messages of the morning failed; tried again soon.")
        return told, send_waiting(clock.now) if settings.MAIL_ON else 0
