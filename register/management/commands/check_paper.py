"""Look at a file: is it a paper that was issued here, and is it unaltered? Ends with 1 where not."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import translation

from register import clock
from register.documents.checking import check_paper, look_at_file

SAID = {
    "altered": "ALTERED: it was sealed here, and is not as it was sealed. Do not rely on it.",
    "not-ours": "NOT OURS: no paper that was issued here. Do not rely on it.",
}
STANDING = {
    "true": "What it says is still true.",
    "past": "It tells of an earlier moment, and what it tells of it is still true.",
    "changed": "No longer true, because of: %(changed)s.",
    "over": "Its time is over.",
    "unknown": "Whether it is still true cannot be said: what it is about is not here.",
}


class Command(BaseCommand):
    help = "Say whether a PDF is a paper that was issued here, unaltered, and still true."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("file", type=Path)

    def handle(self, *_args: Any, file: Path, **_options: Any) -> None:
        try:
            content = file.read_bytes()
        except OSError as error:
            raise CommandError(f"{file} cannot be read: {error.strerror}.") from error
        read = look_at_file(content)
        if read.paper is None:
            self.stdout.write(SAID[read.verdict])
            sys.exit(1)
        with translation.override("en-gb"):
            checked = check_paper(read.paper, clock.now())
        made = f"{read.paper.made_at:%Y-%m-%d %H:%M} UTC"
        self.stdout.write(f"UNALTERED: {checked.name} {read.paper}, issued {made}.")
        self.stdout.write(f"{read.paper.about}")
        self.stdout.write(STANDING[checked.standing] % {"changed": ", ".join(checked.changed)})
