"""Work done in the background: the whole register as an archive."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from django.utils.translation import gettext as _

from readiness.archive import contents
from readiness.archive.taking import take_archive
from register import clock
from register.errands import Kind, Made, Step, enter_kind
from register.models import Errand


def _words(_given: Mapping[str, Any]) -> str:
    return _("The whole register as an archive")


def _run(_errand: Errand, step: Step) -> Made:
    total, done = len(contents.TAKEN), 0

    def told(said: str) -> None:
        nonlocal done
        done = min(total, done + 1)
        step(done, total, said)

    file = tempfile.TemporaryFile()  # noqa: SIM115 - whoever keeps it closes it
    take_archive(file, told)
    file.seek(0)
    name = f"register-{clock.now():%Y-%m-%d}.zip"
    return Made(name, "application/zip", file)


ARCHIVE = enter_kind(
    Kind(
        name="take-archive",
        need="archive.take",
        words=_words,
        run=_run,
        kept_for=timedelta(days=1),
    )
)
