"""What phones sent: each event once, as it was sent, with what became of it."""

from __future__ import annotations

import json
import uuid

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.rules.phone_times import Told
from inspections.rules.verdict import VERDICTS
from register.models import Document, Item, Site, User


class SyncEventQuerySet(models.QuerySet["SyncEvent"]):
    def visible_to(self, user: User | AnonymousUser) -> SyncEventQuerySet:
        """Those of the user's sites; what names no site to whoever sees all, or sent it."""
        own = Q(site__in=Site.objects.visible_to(user))
        if isinstance(user, AnonymousUser):
            return self.none()
        return self.filter(own | Q(site=None) if user.sees_all_sites else own | Q(by=user))

    def undecided(self) -> SyncEventQuerySet:
        """Those that a person still has to do something about."""
        return self.filter(outcome__in=SyncEvent.UNDECIDED)


class SyncEvent(models.Model):
    """One event as a phone sent it; ``id`` was made on the phone, so that it is taken once.

    ``raw`` is its text and is never changed. ``made_by`` was signed in when it was written, ``by``
    when it was sent. ``offset_seconds`` is by how much the phone's clock was behind at sending;
    both times stay. ``waits_for`` names what must come first: 'photo:HASH', 'round:ID', 'event:ID'.
    """

    class Outcome(models.TextChoices):
        APPLIED = "applied", gettext_lazy("On record")
        WAITS = "waits", gettext_lazy("Waits for what belongs to it")
        KEPT = "kept", gettext_lazy("Needs a decision")
        REFUSED = "refused", gettext_lazy("Refused")
        DROPPED = "dropped", gettext_lazy("Dropped")

    UNDECIDED = (Outcome.WAITS, Outcome.KEPT, Outcome.REFUSED)

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    kind = models.CharField(max_length=24, blank=True)
    raw = models.TextField(gettext_lazy("as sent"))
    sha256 = models.CharField(max_length=64)
    device = models.CharField(max_length=60, blank=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    made_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    claimed_at = models.DateTimeField(gettext_lazy("by the phone’s clock"), null=True, blank=True)
    sent_at = models.DateTimeField(
        gettext_lazy("sent, by the phone’s clock"), null=True, blank=True
    )
    received_at = models.DateTimeField()
    offset_seconds = models.IntegerField(null=True, blank=True)

    site = models.ForeignKey(
        Site, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    item = models.ForeignKey(
        Item, null=True, blank=True, on_delete=models.PROTECT, related_name="sync_events"
    )
    outcome = models.CharField(max_length=8, choices=Outcome)
    code = models.CharField(max_length=40, blank=True)
    sentence = models.TextField(blank=True)
    result = models.CharField(max_length=60, blank=True)
    waits_for = models.JSONField(default=list, blank=True)
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    settled_because = models.CharField(max_length=200, blank=True)

    objects = SyncEventQuerySet.as_manager()

    class Meta:
        ordering = ["-received_at", "pk"]
        indexes = [models.Index(fields=["outcome", "site"], name="sync_events_undecided")]

    def __str__(self) -> str:
        return _("%(what)s from %(device)s") % {
            "what": self.kind or _("event"),
            "device": self.device or _("a phone"),
        }

    def get_absolute_url(self) -> str:
        return reverse("inspections:sent-decide", args=[self.pk])

    @property
    def verdict(self) -> str:
        """The verdict of a look, as it was sent; '' for anything else."""
        try:
            sent = json.loads(self.raw)
        except ValueError:  # cut because it was too long
            return ""
        body = sent.get("body") if isinstance(sent, dict) else None
        verdict = body.get("verdict") if isinstance(body, dict) else None
        return verdict if isinstance(verdict, str) and verdict in VERDICTS else ""

    @property
    def told(self) -> Told:
        return Told(self.claimed_at, self.sent_at, self.received_at)


class SentPhoto(models.Model):
    """A photograph by the hash of what the phone holds; kept made plain, as another file."""

    sha256 = models.CharField(gettext_lazy("hash of what was sent"), max_length=64, unique=True)
    document = models.ForeignKey(Document, on_delete=models.PROTECT, related_name="+")
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    received_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.sha256[:16]
