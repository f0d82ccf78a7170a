"""Files kept as they were received, known by their hash."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy


class Document(models.Model):
    """One file. The same bytes are kept once; the hash proves that they are the same."""

    class Kind(models.TextChoices):
        DECLARATION = "declaration", gettext_lazy("Declaration of conformity")
        INSTRUCTIONS = "instructions", gettext_lazy("Maker’s instructions")
        REPORT = "report", gettext_lazy("Inspection report")
        PHOTO = "photo", gettext_lazy("Photograph")
        WORKBOOK = "workbook", gettext_lazy("Workbook")
        EVIDENCE = "evidence", gettext_lazy("Evidence")

    sha256 = models.CharField(max_length=64, unique=True)
    kind = models.CharField(max_length=12, choices=Kind)
    name = models.CharField(max_length=200)
    size = models.PositiveBigIntegerField(gettext_lazy("size (bytes)"))
    file = models.FileField(upload_to="documents/%Y/%m")
    kept_at = models.DateTimeField()
    items = models.ManyToManyField("register.Item", blank=True, related_name="documents")

    class Meta:
        ordering = ["-kept_at"]

    def __str__(self) -> str:
        return self.name
