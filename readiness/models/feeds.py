"""Calendars elsewhere from which a rota is fetched."""

from __future__ import annotations

from urllib.parse import urlsplit

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.utils.translation import gettext_lazy

from register.models import Site, User, Zone


class RotaFeedQuerySet(models.QuerySet["RotaFeed"]):
    def visible_to(self, user: User | AnonymousUser) -> RotaFeedQuerySet:
        return self.filter(site__in=Site.objects.visible_to(user))

    def followed(self) -> RotaFeedQuerySet:
        return self.filter(stopped_at=None)


class RotaFeed(models.Model):
    """The address of a calendar, and the last good answer it gave.

    What it says stays on the rota until it says otherwise; where it answers no longer, the last good
    answer stands and ``trouble`` says why. The address may hold a secret: only its host is shown.
    ``unclear`` are the lines that put nobody on, each with its reason.
    """

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="rota_feeds")
    zone = models.ForeignKey(Zone, on_delete=models.PROTECT, related_name="+")
    address = models.CharField(gettext_lazy("address of the calendar"), max_length=500)
    followed_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="rota_feeds"
    )
    followed_at = models.DateTimeField()
    stopped_at = models.DateTimeField(null=True, blank=True)
    tried_at = models.DateTimeField(null=True, blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    answer = models.TextField(gettext_lazy("last good answer"), blank=True)
    trouble = models.CharField(max_length=400, blank=True)
    unclear = models.JSONField(default=list, blank=True)

    objects = RotaFeedQuerySet.as_manager()

    class Meta:
        ordering = ["site", "pk"]

    def __str__(self) -> str:
        return f"{self.site}: {self.host}"

    @property
    def host(self) -> str:
        """What may be shown of the address."""
        return urlsplit(self.address).hostname or ""
