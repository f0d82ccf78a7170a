"""Keeping files exactly as they were received."""

from __future__ import annotations

import hashlib
from pathlib import PurePath

from django.core.files.base import ContentFile
from django.db import transaction

from register.models import Document, Stamp, record


@transaction.atomic
def keep_document(content: bytes, *, name: str, kind: str, stamp: Stamp) -> Document:
    """Keep the bytes under their hash; the same bytes again give the same document."""
    sha256 = hashlib.sha256(content).hexdigest()
    if known := Document.objects.filter(sha256=sha256).first():
        return known
    suffix = PurePath(name).suffix.lower()[:10]
    document = Document(
        sha256=sha256, kind=kind, name=name[:200], size=len(content), kept_at=stamp.at
    )
    document.file.save(f"{sha256}{suffix}", ContentFile(content), save=False)
    document.full_clean()
    document.save()
    record("keep-document", {document: {"sha256": sha256, "kind": kind}}, stamp=stamp)
    return document
