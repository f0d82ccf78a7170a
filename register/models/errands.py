"""Work that takes longer than a second: what was asked for, by whom, how far it is, what came of it."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy

from register.models.people import User
from register.models.places import Site

QUIET = timedelta(minutes=2)  # without a sign of work for so long, it may be asked for again


class ErrandQuerySet(models.QuerySet["Errand"]):
    def visible_to(self, user: User | AnonymousUser) -> ErrandQuerySet:
        """One's own, and nobody else's."""
        if isinstance(user, AnonymousUser) or not user.holdings:
            return self.none()
        return self.filter(asked_by=user)

    def open(self) -> ErrandQuerySet:
        """Waiting to begin, or under way."""
        return self.filter(state__in=Errand.OPEN)


class Errand(models.Model):
    """One piece of work for the background; ``given`` is all that its kind needs to do it.

    ``attempt`` grows each time it is asked for again: a worker of an earlier attempt that turns out
    to be alive finds that it was overtaken, and writes nothing more. ``sites`` are those of which
    the result tells; it is for its asker alone, and only while they may at every one of them.
    """

    class State(models.TextChoices):
        ASKED = "asked", gettext_lazy("Waiting to begin")
        RUNNING = "running", gettext_lazy("Under way")
        DONE = "done", gettext_lazy("Done")
        STOPPED = "stopped", gettext_lazy("Stopped")
        FAILED = "failed", gettext_lazy("Failed")

    OPEN = (State.ASKED, State.RUNNING)

    kind = models.CharField(max_length=40)
    given = models.JSONField(default=dict, blank=True)
    given_sha256 = models.CharField(max_length=64, editable=False)
    language = models.CharField(max_length=10)
    sites = models.ManyToManyField(Site, blank=True, related_name="errands")
    asked_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="errands")
    asked_at = models.DateTimeField()
    state = models.CharField(max_length=10, choices=State, default=State.ASKED)
    attempt = models.PositiveSmallIntegerField(default=1)
    moved_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    sentence = models.CharField(max_length=400, blank=True)
    file = models.FileField(upload_to="errands/%Y/%m", blank=True)
    name = models.CharField(max_length=200, blank=True)
    content_type = models.CharField(max_length=100, blank=True)
    size = models.PositiveBigIntegerField(gettext_lazy("size (bytes)"), default=0)
    sha256 = models.CharField(max_length=64, blank=True)
    expires_at = models.DateTimeField(null=True, blank=True)

    objects = ErrandQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["asked_by", "kind", "given_sha256"],
                condition=Q(state__in=["asked", "running"]),
                name="errand_open_once",
            )
        ]

    def __str__(self) -> str:
        return f"{self.kind} #{self.pk}"

    def get_absolute_url(self) -> str:
        return reverse("register:errand-detail", args=[self.pk])

    @property
    def is_open(self) -> bool:
        return self.state in self.OPEN

    @property
    def share_done(self) -> int:
        """Whole per cent, rounded down."""
        return min(100, self.done * 100 // self.total) if self.total else 0

    def is_quiet(self, at: datetime) -> bool:
        """Open, and nothing has moved for two minutes: nobody works on it, or they are stuck."""
        return self.is_open and at - self.moved_at >= QUIET

    def waits_for_its_asker(self, at: datetime) -> bool:
        """Done, with a result that is not yet to be taken off."""
        in_time = self.expires_at is not None and at < self.expires_at
        return self.state == self.State.DONE and in_time and bool(self.file)
