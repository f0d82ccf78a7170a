"""A round of inspections as a record of its own: what it was to see, what it saw, who signed it."""

from __future__ import annotations

import uuid

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.models.inspections import Inspection
from inspections.rules.kinds import KIND_CHOICES
from inspections.rules.round_lines import LINE_STATE_CHOICES
from inspections.rules.verdict import VERDICT_CHOICES
from register.models import Item, Person, Site, User
from register.wording import named


class RoundQuerySet(models.QuerySet["Round"]):
    def visible_to(self, user: User | AnonymousUser) -> RoundQuerySet:
        return self.filter(site__in=Site.objects.visible_to(user))

    def open(self) -> RoundQuerySet:
        """Neither signed nor dropped."""
        return self.filter(signed_at=None, dropped_at=None)


class Round(models.Model):
    """One inspector, one site, one kind, one signature. ``id`` is made where the round began.

    ``chosen`` is what was asked for when its list was made, in words. A dropped round is never
    signed any more: its good news counts for nothing.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="rounds")
    inspector = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="rounds")
    kind = models.CharField(max_length=24, choices=named(KIND_CHOICES))
    covers_periodic = models.BooleanField(
        gettext_lazy("the maker’s periodic examination procedure is followed"), default=False
    )
    chosen = models.CharField(max_length=300, blank=True)
    began_at = models.DateTimeField()
    began_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    signed_at = models.DateTimeField(null=True, blank=True)
    signed_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    note = models.CharField(max_length=400, blank=True)
    dropped_at = models.DateTimeField(null=True, blank=True)
    dropped_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    dropped_because = models.CharField(max_length=200, blank=True)

    objects = RoundQuerySet.as_manager()

    class Meta:
        ordering = ["-began_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(signed_at=None) | Q(dropped_at=None), name="round_signed_or_dropped"
            )
        ]
        indexes = [models.Index(fields=["site", "-began_at"], name="rounds_of_a_site")]

    def __str__(self) -> str:
        return _("%(kind)s at %(site)s") % {"kind": self.get_kind_display(), "site": self.site}

    def get_absolute_url(self) -> str:
        return reverse("inspections:round-detail", args=[self.pk])

    @property
    def is_open(self) -> bool:
        return self.signed_at is None and self.dropped_at is None


class RoundLine(models.Model):
    """One item of a round, or a text that led to none. ``look`` is the id its finding has or will
    have, given where it was found, so that the same touch sent twice is one line.

    ``stopped`` is the verdict of a first tap whose defect is not written down yet.
    """

    round = models.ForeignKey(Round, on_delete=models.PROTECT, related_name="lines")
    item = models.ForeignKey(
        Item, null=True, blank=True, on_delete=models.PROTECT, related_name="round_lines"
    )
    text = models.CharField(gettext_lazy("as scanned or typed"), max_length=60, blank=True)
    listed = models.BooleanField(gettext_lazy("on the list at the start"), default=False)
    state = models.CharField(max_length=16, choices=named(LINE_STATE_CHOICES))
    look = models.UUIDField(null=True, blank=True, unique=True)
    at = models.DateTimeField(null=True, blank=True)
    stopped = models.CharField(max_length=24, choices=named(VERDICT_CHOICES), blank=True)
    inspection = models.OneToOneField(
        Inspection, null=True, blank=True, on_delete=models.PROTECT, related_name="round_line"
    )

    class Meta:
        ordering = ["round", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["round", "item"],
                condition=Q(listed=True),
                name="item_once_on_the_list_of_a_round",
            ),
            models.CheckConstraint(
                condition=~Q(item=None) | ~Q(text=""), name="round_line_is_about_something"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.item or self.text}: {self.get_state_display()}"
