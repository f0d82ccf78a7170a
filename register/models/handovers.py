"""Receipts of what was handed over: which pieces, in what condition, and who signed for them."""

from __future__ import annotations

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy

from register.models.custody import Movement
from register.models.people import Person, User
from register.models.places import Site
from register.wording import shown_day


class HandoverQuerySet(models.QuerySet["Handover"]):
    def visible_to(self, user: User | AnonymousUser) -> HandoverQuerySet:
        return self.filter(site__in=Site.objects.visible_to(user))


class Handover(models.Model):
    """Pieces that went one way together. It is signed once, and nothing in it changes after.

    ``strokes`` are the points of a signature drawn on the screen (register.rules.strokes); ``made_by``
    is the other end: the account that issued, took back or sent, at that time.
    """

    class Kind(models.TextChoices):
        ISSUED = "issued", gettext_lazy("Issue")
        RETURNED = "returned", gettext_lazy("Return")
        DISPATCHED = "dispatched", gettext_lazy("Transfer to another site")

    class Signed(models.TextChoices):
        DRAWN = "drawn", gettext_lazy("drawn on the screen")
        TYPED = "typed", gettext_lazy("name typed")

    kind = models.CharField(max_length=12, choices=Kind)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="handovers")
    to_site = models.ForeignKey(
        Site, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    person = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="handovers"
    )
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    signed_name = models.CharField(gettext_lazy("name"), max_length=120, blank=True)
    signed_how = models.CharField(max_length=8, choices=Signed, blank=True)
    strokes = models.JSONField(default=list, blank=True)
    signed_at = models.DateTimeField(null=True, blank=True)

    objects = HandoverQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {shown_day(self.made_at)}"

    def get_absolute_url(self) -> str:
        return reverse("inspections:handover-detail", args=[self.pk])


class HandoverLine(models.Model):
    """One piece on a receipt, as the register judged it at that moment: a code and its facts, which
    each reader's language words anew; where it was did not count."""

    handover = models.ForeignKey(Handover, on_delete=models.PROTECT, related_name="lines")
    movement = models.OneToOneField(Movement, on_delete=models.PROTECT, related_name="receipt_line")
    usable = models.BooleanField()
    code = models.CharField(max_length=40)
    facts = models.JSONField(default=list, blank=True)
    through_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.movement.item}: {self.code}"
