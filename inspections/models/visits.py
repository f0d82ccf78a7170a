"""How long inspecting takes, when inspectors inspect, and the visits that were accepted."""

from __future__ import annotations

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.rules.workload import VISIT_MINUTES
from inspections.work_wording import hours_words
from register.models import Item, Person, Site, User
from register.rules.classes import CLASS_CHOICES
from register.wording import named, shown_day


class InspectionMinutes(models.Model):
    """The employer's minutes for one piece of a class; without a row those of the class hold."""

    equipment_class = models.CharField(
        gettext_lazy("class"), max_length=30, choices=named(CLASS_CHOICES), unique=True
    )
    minutes = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ["equipment_class"]
        verbose_name_plural = "inspection minutes"

    def __str__(self) -> str:
        return f"{self.equipment_class}: {self.minutes} min"


class VisitTerms(models.Model):
    """What a visit takes before anything is inspected; one row."""

    visit_minutes = models.PositiveSmallIntegerField(
        gettext_lazy("way and setting up, a visit"), default=VISIT_MINUTES
    )

    def __str__(self) -> str:
        return f"A visit: {self.visit_minutes} min"


class InspectorHours(models.Model):
    """How long a person inspects on a day, on which days of the week (Monday is 0)."""

    person = models.OneToOneField(Person, on_delete=models.PROTECT, related_name="inspector_hours")
    minutes_a_day = models.PositiveSmallIntegerField()
    weekdays = models.JSONField(default=list)

    class Meta:
        ordering = ["person"]
        verbose_name_plural = "inspector hours"

    def __str__(self) -> str:
        return f"{self.person}: {self.minutes_a_day} min a day"

    @property
    def words(self) -> str:
        return hours_words(self.minutes_a_day, self.weekdays)


class VisitQuerySet(models.QuerySet["Visit"]):
    def visible_to(self, user: User | AnonymousUser) -> VisitQuerySet:
        return self.filter(site__in=Site.objects.visible_to(user))

    def standing(self) -> VisitQuerySet:
        return self.filter(dropped_at=None)


class Visit(models.Model):
    """An inspector is to be at a site on a day to inspect these items; it moves no clock."""

    inspector = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="visits")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="visits")
    day_on = models.DateField(gettext_lazy("day"), db_index=True)
    items = models.ManyToManyField(Item, related_name="visits")
    accepted_at = models.DateTimeField()
    accepted_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    dropped_at = models.DateTimeField(null=True, blank=True)

    objects = VisitQuerySet.as_manager()

    class Meta:
        ordering = ["day_on", "inspector"]
        constraints = [
            models.UniqueConstraint(
                fields=["inspector", "day_on"],
                condition=Q(dropped_at=None),
                name="one_site_a_day",
                violation_error_message=gettext_lazy(
                    "This inspector is on a visit that day already."
                ),
            )
        ]

    def __str__(self) -> str:
        return _("%(inspector)s at %(site)s, %(day)s") % {
            "inspector": self.inspector,
            "site": self.site,
            "day": shown_day(self.day_on),
        }
