"""Noting that a back-up was made."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from register.models import BackUp


@transaction.atomic
def note_backup(name: str, *, size: int, sha256: str, encrypted: bool, at: datetime) -> BackUp:
    """Kept for the page that tells when the last one was; it stands in no chain."""
    return BackUp.objects.create(at=at, name=name, bytes=size, sha256=sha256, encrypted=encrypted)
