"""Read jurisdiction files and name every line and key that is wrong, with what to write instead."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from django.core.management.base import BaseCommand

from inspections.regime import SCHEME_FILES
from inspections.rules.scheme_files import SchemeError, read_scheme


class Command(BaseCommand):
    help = "Checks jurisdiction files, all that are shipped or those named; ends with 1 on a fault."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("files", nargs="*", type=Path, metavar="FILE")

    def handle(self, *_args: object, files: list[Path], **_options: object) -> None:
        chosen = files or sorted(SCHEME_FILES.glob("*.json"))
        faults = [fault for file in chosen for fault in faults_in(file)]
        for fault in faults:
            self.stdout.write(fault)
        if faults:
            sys.exit(1)
        self.stdout.write(f"{len(chosen)} jurisdiction files are sound.")


def faults_in(file: Path) -> list[str]:
    """Everything that is wrong in the file, its name included."""
    try:
        scheme = read_scheme(file.read_text(encoding="utf-8"), file.name)
    except SchemeError as error:
        return error.faults
    except OSError as error:
        return [f"{file}: cannot be read: {error.strerror}"]
    except UnicodeDecodeError:
        return [f"{file.name}: is not UTF-8; save it as UTF-8"]
    if scheme.slug != file.stem:
        return [
            f"{file.name}, scheme: {scheme.slug!r} must be {file.stem!r}, as the file is called"
        ]
    return []
