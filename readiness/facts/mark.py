"""The mark of the program that judges: after an upgrade every kept answer is asked anew."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from django.conf import settings

_JUDGING = (
    "register/rules/*.py",
    "register/intake/keys.py",
    "register/clock.py",
    "register/wording.py",
    "*/models/*.py",
    "inspections/rules/*.py",
    "inspections/*.py",
    "readiness/rules/**/*.py",
    "readiness/facts/*.py",
    "fixtures/schemes/*.json",
)
"""What an answer depends on besides the rows."""


@lru_cache(maxsize=1)
def judged_by() -> str:
    """Equal for equal programs: 16 hexadecimal digits over the files that judge."""
    found = sha256()
    for file in judging_files():
        found.update(file.name.encode())
        found.update(file.read_bytes())
    return found.hexdigest()[:16]


def judging_files() -> Iterator[Path]:
    for pattern in _JUDGING:
        yield from sorted(Path(settings.BASE_DIR).glob(pattern))
