"""Permits to work that were signed on a kept answer of cover."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import AnonymousUser
from django.db import models

from readiness.models.checks import CoverCheck
from readiness.models.tasks import Task
from register.models import Site, User


class PermitQuerySet(models.QuerySet["Permit"]):
    def visible_to(self, user: User | AnonymousUser) -> PermitQuerySet:
        return self.filter(site__in=Site.objects.visible_to(user))

    def since(self, moment: datetime) -> PermitQuerySet:
        """Those in force at the moment or after it, in the order in which they were signed."""
        open_ones = models.Q(ended_at=None) | models.Q(ended_at__gt=moment)
        return self.filter(open_ones, ends_at__gt=moment).order_by("signed_at", "pk")


class Permit(models.Model):
    """It keeps the kit, people and anchor of its check for its hours, before all that was signed later.

    `ended_at` is set when it is handed back or cancelled, the latter with a reason; from then on it
    keeps nothing.
    """

    cover_check = models.OneToOneField(CoverCheck, on_delete=models.PROTECT, related_name="permit")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="permits")
    task = models.ForeignKey(Task, on_delete=models.PROTECT, related_name="permits")
    reference = models.CharField(max_length=60)
    begins_at = models.DateTimeField()
    ends_at = models.DateTimeField(db_index=True)
    kit = models.CharField(max_length=60)
    people = models.JSONField()
    anchor = models.CharField(max_length=20)
    signed_by = models.ForeignKey(User, null=True, on_delete=models.PROTECT, related_name="permits")
    signed_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    cancelled_because = models.CharField(max_length=200, blank=True)

    objects = PermitQuerySet.as_manager()

    class Meta:
        ordering = ["signed_at", "pk"]

    def __str__(self) -> str:
        return self.reference
