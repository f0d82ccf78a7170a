"""What two people decide together: to let evidence go, and to undo a withdrawal made in error."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.models.items import Item
from register.models.people import User
from register.models.places import Site
from register.wording import shown_day

if TYPE_CHECKING:
    from datetime import datetime


class HoldQuerySet(models.QuerySet["Hold"]):
    def visible_to(self, user: User | AnonymousUser) -> HoldQuerySet:
        return self.filter(site__in=Site.objects.visible_to(user))

    def standing(self) -> HoldQuerySet:
        """Those that nobody has released yet."""
        return self.filter(released_at=None)


class Hold(models.Model):
    """Items kept as evidence: not destroyed, not sent away, not let go until two people agree."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="holds")
    because = models.CharField(max_length=120)
    items = models.ManyToManyField(Item, related_name="holds")
    placed_at = models.DateTimeField()
    placed_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    asked_at = models.DateTimeField(gettext_lazy("release asked for"), null=True, blank=True)
    asked_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    asked_because = models.CharField(gettext_lazy("why it may go"), max_length=400, blank=True)
    released_at = models.DateTimeField(null=True, blank=True)
    released_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = HoldQuerySet.as_manager()

    class Meta:
        ordering = ["-placed_at"]

    def __str__(self) -> str:
        return self.because


class Reversal(models.Model):
    """Somebody asks that a withdrawal be undone; it is undone once a second person agrees."""

    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="reversals")
    because = models.CharField(gettext_lazy("why the withdrawal was an error"), max_length=400)
    asked_at = models.DateTimeField()
    asked_by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    agreed_at = models.DateTimeField(null=True, blank=True)
    agreed_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["-asked_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["item"],
                condition=models.Q(agreed_at=None),
                name="one_open_reversal_an_item",
                violation_error_message=gettext_lazy("It is asked for already."),
            )
        ]

    def __str__(self) -> str:
        day: datetime = self.asked_at
        return _("Undo the withdrawal of %(item)s, asked %(day)s") % {
            "item": self.item,
            "day": shown_day(day),
        }
