"""Take results of errands that have expired off the disk, where nobody asks for new ones."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand

from register import clock
from register.actions import errands


class Command(BaseCommand):
    help = "Take results of errands that have expired off the disk."

    def handle(self, *args: Any, **options: Any) -> None:
        gone = errands.take_off_expired(at=clock.now())
        self.stdout.write(f"{gone} results were taken off.")
