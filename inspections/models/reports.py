"""What the report of an inspection says beyond its record, as its author stated it."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy

from inspections.models.inspections import Inspection
from inspections.rules.reports import OCCASION_CHOICES
from register.models import User
from register.wording import named


class Report(models.Model):
    """One report, with the date on which it was made, which is not that of the examination.

    A later one of the same inspection stands in its place; both stay. Names and addresses are kept
    as they were. ``remedies`` holds, by the key of the defect, the repair, renewal or alteration
    that it needs. ``next_on`` is the last day by which the next is to be made, empty where the
    equipment is out of use.
    """

    inspection = models.ForeignKey(Inspection, on_delete=models.PROTECT, related_name="reports")
    employer_name = models.CharField(max_length=120)
    employer_address = models.CharField(max_length=200)
    premises = models.CharField(max_length=300)
    occasion = models.CharField(max_length=16, choices=named(OCCASION_CHOICES), blank=True)
    installed_well = models.BooleanField(gettext_lazy("installed correctly"), null=True, blank=True)
    safe_load = models.CharField(gettext_lazy("safe working load"), max_length=200, blank=True)
    tests = models.CharField(max_length=400, blank=True)
    remedies = models.JSONField(default=dict, blank=True)
    further = models.CharField(gettext_lazy("what is still to be done"), max_length=400, blank=True)
    imminent = models.BooleanField(
        gettext_lazy("existing or imminent risk of serious personal injury"), default=False
    )
    next_on = models.DateField(null=True, blank=True)
    position = models.CharField(max_length=120, blank=True)
    author_address = models.CharField(max_length=200)
    qualifications = models.CharField(max_length=200, blank=True)
    self_employed = models.BooleanField(default=False)
    author_employer = models.CharField(
        gettext_lazy("name and address of the author’s employer"), max_length=300, blank=True
    )
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="reports")

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.inspection}"
