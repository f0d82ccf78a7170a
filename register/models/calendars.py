"""Private calendar feeds, and what each of them told last: programs keep what they once read."""

from __future__ import annotations

import uuid

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.models.people import User
from register.models.places import Site
from register.rules.classes import CLASS_CHOICES
from register.wording import class_name, named


class CalendarFeedQuerySet(models.QuerySet["CalendarFeed"]):
    def visible_to(self, user: User | AnonymousUser) -> CalendarFeedQuerySet:
        """A feed is nobody's but its owner's."""
        if isinstance(user, AnonymousUser) or not user.holdings:
            return self.none()
        return self.filter(user=user)

    def standing(self) -> CalendarFeedQuerySet:
        return self.filter(revoked_at=None)


class CalendarFeed(models.Model):
    """An address that a calendar program reads without a login. Of its secret only the hash is kept.

    Whether its owner may still see what it tells is asked at each reading.
    """

    class About(models.TextChoices):
        OWN = "own", gettext_lazy("What concerns me")
        SITE = "site", gettext_lazy("One site")
        EQUIPMENT = "class", gettext_lazy("One class of equipment")

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="calendar_feeds")
    about = models.CharField(max_length=5, choices=About)
    site = models.ForeignKey(
        Site, null=True, blank=True, on_delete=models.CASCADE, related_name="calendar_feeds"
    )
    equipment_class = models.CharField(
        gettext_lazy("class"), max_length=30, choices=named(CLASS_CHOICES), blank=True
    )
    language = models.CharField(max_length=10)
    secret_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    read_at = models.DateTimeField(gettext_lazy("last read"), null=True, blank=True)

    objects = CalendarFeedQuerySet.as_manager()

    class Meta:
        ordering = ["made_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(about="own", site=None, equipment_class="")
                | Q(about="site", site__isnull=False, equipment_class="")
                | Q(about="class", site=None, equipment_class__gt=""),
                name="feed_is_about_one_thing",
            )
        ]

    def __str__(self) -> str:
        if self.site:
            return str(self.site)
        if self.equipment_class:
            return class_name(self.equipment_class)
        return _("What concerns me")


class CalendarTold(models.Model):
    """One event of a feed as it was told last, so that a change raises its number and an end is told."""

    feed = models.ForeignKey(CalendarFeed, on_delete=models.CASCADE, related_name="told")
    key = models.CharField(max_length=120)
    topic = models.CharField(max_length=30)
    first_on = models.DateField()
    last_on = models.DateField()
    summary = models.CharField(max_length=300)
    detail = models.TextField(blank=True)
    place = models.CharField(max_length=330, blank=True)
    link = models.CharField(max_length=300, blank=True)
    sequence = models.PositiveIntegerField(default=0)
    changed_at = models.DateTimeField()
    gone_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["first_on", "key"]
        verbose_name_plural = "events told"
        constraints = [
            models.UniqueConstraint(fields=["feed", "key"], name="event_told_once_a_feed")
        ]

    def __str__(self) -> str:
        return self.summary
