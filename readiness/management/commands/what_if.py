"""Answers a what-if file: manage.py what_if FILE.json prints rescue cover as JSON."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from readiness.rules.json_places import MalformedFile
from readiness.rules.what_if_answers import answered


def file_text(path: Path) -> str:
    """The file's text; raises MalformedFile where it cannot be read at all."""
    try:
        return path.read_text(encoding="utf-8-sig")
    except OSError as error:
        fault = error.strerror or "it cannot be read"
        raise MalformedFile(0, str(path), f"a file that can be read, but: {fault}") from error
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        raise MalformedFile(line, "", "text in UTF-8") from error


class Command(BaseCommand):
    help = "Prints the rescue cover of the scenarios in a what-if file, as JSON."
    requires_system_checks: list[str] = []  # it judges a file; no database is asked

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="a what-if file")

    def handle(self, *_args: Any, file: Path, **_options: Any) -> None:
        try:
            found = answered(file_text(file))
        except MalformedFile as error:
            self.stderr.write(f"{file}: {error}")
            sys.exit(2)
        self.stdout.write(json.dumps(found, ensure_ascii=False, indent=1))
