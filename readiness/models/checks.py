"""Answers that somebody relied on, and what became of them."""

from __future__ import annotations

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy

from readiness.models.tasks import Task
from register.models import Site, User
from register.rules.tags import shown


class CoverCheckQuerySet(models.QuerySet["CoverCheck"]):
    def visible_to(self, user: User | AnonymousUser) -> CoverCheckQuerySet:
        return self.filter(site__in=Site.objects.visible_to(user))


class CoverChangeQuerySet(models.QuerySet["CoverChange"]):
    def visible_to(self, user: User | AnonymousUser) -> CoverChangeQuerySet:
        return self.filter(site__in=Site.objects.visible_to(user))


class CoverCheck(models.Model):
    """That a task was covered for a window, and by what, as the facts stood at a moment.

    `promised` holds the window in pieces, each with its kit, people, anchor and minutes. It is never
    changed; `untrue_at` is the moment from which it no longer holds.
    """

    reference = models.CharField(max_length=7, unique=True)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="checks")
    task = models.ForeignKey(Task, on_delete=models.PROTECT, related_name="checks")
    begins_at = models.DateTimeField()
    ends_at = models.DateTimeField(db_index=True)
    promised = models.JSONField()
    facts = models.CharField(gettext_lazy("hash of the facts"), max_length=64)
    permit_reference = models.CharField(
        gettext_lazy("reference on the permit to work"), max_length=60, blank=True
    )
    made_by = models.ForeignKey(User, null=True, on_delete=models.PROTECT, related_name="checks")
    made_at = models.DateTimeField()
    untrue_at = models.DateTimeField(null=True, blank=True)

    objects = CoverCheckQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at"]
        constraints = [
            models.CheckConstraint(condition=Q(ends_at__gt=F("begins_at")), name="check_has_a_time")
        ]

    def __str__(self) -> str:
        return shown(self.reference)

    def get_absolute_url(self) -> str:
        return reverse("readiness:cover-check", args=[self.reference])


class CoverChange(models.Model):
    """A task that was covered in hours now running or soon to come, and is no longer.

    `cover_check` is the kept answer that this made untrue, so that whoever relied on it is told.
    `told_at` is when somebody answerable for the site said that they know.
    """

    site = models.ForeignKey(Site, on_delete=models.CASCADE, related_name="cover_changes")
    task = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="cover_changes")
    cover_check = models.ForeignKey(
        CoverCheck, null=True, blank=True, on_delete=models.CASCADE, related_name="changes"
    )
    begins_at = models.DateTimeField()
    ends_at = models.DateTimeField(db_index=True)
    before = models.CharField(max_length=24)
    after = models.CharField(max_length=24)
    reasons = models.JSONField(default=list)
    found_at = models.DateTimeField()
    covered_again_at = models.DateTimeField(null=True, blank=True)
    told_at = models.DateTimeField(null=True, blank=True)
    told_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = CoverChangeQuerySet.as_manager()

    class Meta:
        ordering = ["begins_at", "pk"]

    def __str__(self) -> str:
        return f"{self.task} from {self.begins_at:%Y-%m-%d %H:%M}"
