"""The back-ups that were made, so that the page can say when the last one was."""

from __future__ import annotations

from django.db import models


class BackUp(models.Model):
    """One back-up that was whole on the disk; where it was carried then is not known here."""

    at = models.DateTimeField()
    name = models.CharField(max_length=200)
    bytes = models.PositiveBigIntegerField()
    sha256 = models.CharField(max_length=64)
    encrypted = models.BooleanField()

    class Meta:
        ordering = ["-at"]

    def __str__(self) -> str:
        return self.name
