"""Each version of a checklist by which something was inspected, kept as it was then."""

from __future__ import annotations

from django.db import models

from inspections.rules.checklist_files import from_content
from inspections.rules.checklists import Checklist
from register.rules.classes import CLASS_CHOICES
from register.wording import named


class ChecklistVersion(models.Model):
    """One version, known by the hash of what it says; the file it came from may change after."""

    equipment_class = models.CharField(max_length=40, choices=named(CLASS_CHOICES))
    number = models.PositiveIntegerField()
    sha256 = models.CharField(max_length=64, unique=True)
    content = models.JSONField()
    kept_at = models.DateTimeField()

    class Meta:
        ordering = ["equipment_class", "number", "kept_at"]

    def __str__(self) -> str:
        return f"{self.get_equipment_class_display()}, version {self.number} ({self.sha256[:8]})"

    @property
    def checklist(self) -> Checklist:
        return from_content(self.content)
