"""Where things are: sites with their time zone, zones, shifts and the minutes between zones."""

from __future__ import annotations

from datetime import time
from zoneinfo import available_timezones

from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.models.people import User


def check_time_zone(value: str) -> None:
    """Refuse a time zone that the zone database does not know."""
    if value not in available_timezones():
        raise ValidationError(
            _("“%(value)s” is no time zone. Write one like Europe/London.") % {"value": value}
        )


class SiteQuerySet(models.QuerySet["Site"]):
    def visible_to(self, user: User | AnonymousUser) -> SiteQuerySet:
        """The sites on which the user holds a role."""
        if isinstance(user, AnonymousUser) or not user.holdings:
            return self.none()
        return self if user.sees_all_sites else self.filter(pk__in=user.site_ids)


class Site(models.Model):
    """A place with a clock of its own. Its facts version grows with every act that touches it."""

    code = models.SlugField(max_length=20, unique=True)
    name = models.CharField(max_length=120)
    address = models.CharField(max_length=200, blank=True)
    time_zone = models.CharField(
        max_length=40, default="Europe/London", validators=[check_time_zone]
    )
    is_store = models.BooleanField(gettext_lazy("a store, with no work at height"), default=False)
    facts_version = models.PositiveBigIntegerField(default=0, editable=False)

    objects = SiteQuerySet.as_manager()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("readiness:site-cover", args=[self.code])


class Zone(models.Model):
    """A part of a site that people reach on foot; kits hang in zones, tasks are done in them."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="zones")
    code = models.SlugField(max_length=20)
    name = models.CharField(max_length=120)

    class Meta:
        ordering = ["site", "code"]
        constraints = [models.UniqueConstraint(fields=["site", "code"], name="zone_once_a_site")]

    def __str__(self) -> str:
        return self.name


class Shift(models.Model):
    """A named part of the day. One that ends before it begins runs past midnight and belongs to
    the day on which it begins."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="shifts")
    name = models.CharField(max_length=40)
    begins = models.TimeField()
    ends = models.TimeField()

    class Meta:
        ordering = ["site", "begins"]
        constraints = [models.UniqueConstraint(fields=["site", "name"], name="shift_once_a_site")]

    def __str__(self) -> str:
        return self.name

    @property
    def is_past_midnight(self) -> bool:
        """Whether it ends on the day after the one to which it belongs; midnight sharp does not."""
        return self.ends <= self.begins and self.ends != time(0)

    @property
    def hours(self) -> str:
        return f"{self.begins:%H:%M}–{self.ends:%H:%M}"


class Passage(models.Model):
    """Minutes on foot from one zone to another; both ways unless the way back is given too."""

    start = models.ForeignKey(Zone, on_delete=models.PROTECT, related_name="ways_out")
    end = models.ForeignKey(Zone, on_delete=models.PROTECT, related_name="ways_in")
    minutes = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ["start", "end"]
        constraints = [
            models.UniqueConstraint(fields=["start", "end"], name="passage_once"),
            models.CheckConstraint(
                condition=~Q(start=F("end")),
                name="passage_between_two_zones",
                violation_error_message=gettext_lazy("A passage joins two different zones."),
            ),
        ]

    def __str__(self) -> str:
        return _("%(start)s to %(end)s: %(minutes)s min") % {
            "start": self.start,
            "end": self.end,
            "minutes": self.minutes,
        }
