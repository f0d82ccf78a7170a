"""Bring in the queue of a phone that was saved to a file, as if the phone had sent it."""

from __future__ import annotations

import argparse
from functools import partial
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from inspections.sync.queue_file import bring_in
from inspections.sync.taking_in import Sender
from register import clock
from register.access import may
from register.models import User
from register.refusal import Refusal


class Command(BaseCommand):
    help = "Applies a saved queue of events; events that were taken before are taken once."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the file that the phone saved")
        parser.add_argument("--by", required=True, help="the username in whose name it is sent")

    def handle(self, *_args: object, file: Path, by: str, **_options: object) -> None:
        user = User.objects.filter(username=by, is_active=True).first()
        if user is None:
            raise CommandError(f"There is no user {by!r}.")
        sender = Sender(
            user=user,
            may=partial(may, user),
            received_at=clock.now(),
            device="file",
            from_file=True,
        )
        try:
            answers = bring_in(file.read_bytes(), sender)
        except OSError as wrong:
            raise CommandError(f"{file} cannot be read: {wrong.strerror}.") from wrong
        except Refusal as refusal:
            raise CommandError(refusal.sentence) from refusal
        for answer in answers:
            self.stdout.write(f"{answer.id} {answer.outcome} {answer.sentence}".rstrip())
        done = sum(answer.outcome == "applied" for answer in answers)
        self.stdout.write(f"{done} of {len(answers)} events are on record.")
