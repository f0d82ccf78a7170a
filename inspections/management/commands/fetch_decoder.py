"""Fetch the decoder with which the phone's pages read QR codes from the camera."""

from __future__ import annotations

from django.core.management.base import BaseCommand, CommandError

from inspections import decoder


class Command(BaseCommand):
    help = "Fetches the phone's QR decoder with npm; does nothing where it is here already."

    def handle(self, *_args: object, **_options: object) -> None:
        try:
            is_new = decoder.fetch()
        except decoder.NotFetched as reason:
            raise CommandError(f"{reason} {decoder.WITHOUT}") from reason
        done = "has been fetched" if is_new else "is here already"
        self.stdout.write(f"The decoder ({decoder.PACKAGE}) {done}, in {decoder.FOLDER}.")
