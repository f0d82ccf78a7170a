"""What was stated of each shift of each task while it ran, for the trend of a year."""

from __future__ import annotations

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.db.models import F, Q

from register.models import Site, User


class PastShiftQuerySet(models.QuerySet["PastShift"]):
    def visible_to(self, user: User | AnonymousUser) -> PastShiftQuerySet:
        return self.filter(site__in=Site.objects.visible_to(user))


class PastShift(models.Model):
    """Minutes of one shift of a task that needed cover, that had it, and that had it with backup.

    They grow while the shift runs, by the statements in force one after the other, and are never
    worked out again afterwards: what is learnt later does not change what was stated.
    """

    site = models.ForeignKey(Site, on_delete=models.CASCADE, related_name="past_shifts")
    task = models.CharField(max_length=20)
    day_on = models.DateField()
    begins_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    minutes = models.FloatField(default=0)
    covered_minutes = models.FloatField(default=0)
    backed_minutes = models.FloatField(default=0)

    objects = PastShiftQuerySet.as_manager()

    class Meta:
        ordering = ["site", "begins_at", "task"]
        constraints = [
            models.UniqueConstraint(
                fields=["site", "task", "begins_at", "ends_at"], name="past_shift_once"
            ),
            models.CheckConstraint(
                condition=Q(
                    covered_minutes__lte=F("minutes"), backed_minutes__lte=F("covered_minutes")
                ),
                name="no_more_covered_than_there_was",
            ),
        ]
        indexes = [models.Index(fields=["site", "day_on"], name="past_of_a_site")]

    def __str__(self) -> str:
        return f"{self.task}, {self.begins_at:%Y-%m-%d %H:%M}"
