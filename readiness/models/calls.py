"""How the alarm is raised on a site, whom to ring, and where help is met: what the wall sheet tells."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy

from register.models import Site


class RescueCall(models.Model):
    """One site's words; ``numbers`` are [whom, number] in the order in which they are rung.

    A place or an office is named, not a person: the sheet hangs where everybody passes by.
    """

    site = models.OneToOneField(Site, on_delete=models.PROTECT, related_name="rescue_call")
    alarm = models.CharField(gettext_lazy("how the alarm is raised"), max_length=200)
    numbers = models.JSONField(gettext_lazy("whom to ring"), default=list, blank=True)
    meeting_place = models.CharField(
        gettext_lazy("where the emergency services are met"), max_length=200, blank=True
    )

    def __str__(self) -> str:
        return str(self.site)


class ShiftSheet(models.Model):
    """One shift of one day, for which a sheet is hung up: what its papers are about."""

    shift = models.ForeignKey("register.Shift", on_delete=models.PROTECT, related_name="sheets")
    day_on = models.DateField()

    class Meta:
        ordering = ["day_on", "shift"]
        constraints = [
            models.UniqueConstraint(fields=["shift", "day_on"], name="sheet_once_a_shift")
        ]

    def __str__(self) -> str:
        return f"{self.shift} {self.day_on:%Y-%m-%d}"

    @property
    def site_id(self) -> int:
        return self.shift.site_id
