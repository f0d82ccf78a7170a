"""Deliveries and movements: how things came, who gave them to whom, and when they are due back."""

from __future__ import annotations

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.models.catalogue import Product
from register.models.documents import Document
from register.models.items import Item
from register.models.people import Person, User
from register.models.places import Site
from register.wording import shown_day


class DeliveryQuerySet(models.QuerySet["Delivery"]):
    def visible_to(self, user: User | AnonymousUser) -> DeliveryQuerySet:
        return self.filter(site__in=Site.objects.visible_to(user))


class Delivery(models.Model):
    """Pieces of one product that came together: their common particulars, once."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="deliveries")
    product = models.ForeignKey(Product, on_delete=models.PROTECT, related_name="deliveries")
    supplier = models.CharField(max_length=120, blank=True)
    order_number = models.CharField(max_length=60, blank=True)
    delivery_note = models.CharField(max_length=60)
    received_on = models.DateField()
    declaration = models.ForeignKey(
        Document, null=True, blank=True, on_delete=models.PROTECT, related_name="declares"
    )
    declaration_on = models.DateField(
        gettext_lazy("date of the declaration"), null=True, blank=True
    )

    objects = DeliveryQuerySet.as_manager()

    class Meta:
        ordering = ["-received_on", "-pk"]
        verbose_name_plural = "deliveries"

    def __str__(self) -> str:
        return _("%(delivery_note)s of %(day)s") % {
            "delivery_note": self.delivery_note,
            "day": shown_day(self.received_on),
        }


class Movement(models.Model):
    """One change of custody. Returns carry the answers to the two questions."""

    class Kind(models.TextChoices):
        RECEIVED = "received", gettext_lazy("Received")
        ISSUED = "issued", gettext_lazy("Issued")
        RETURNED = "returned", gettext_lazy("Returned")
        DISPATCHED = "dispatched", gettext_lazy("Sent to another site")
        ARRIVED = "arrived", gettext_lazy("Arrived")
        SENT = "sent", gettext_lazy("Sent to the maker or an agent")
        BACK = "back", gettext_lazy("Back from the maker or an agent")
        INTO_KIT = "into-kit", gettext_lazy("Put into a kit")
        OUT_OF_KIT = "out-of-kit", gettext_lazy("Taken out of a kit")
        INSTALLED = "installed", gettext_lazy("Installed")
        LEFT = "left", gettext_lazy("Left the undertaking")

    class Answer(models.TextChoices):
        NO = "no", gettext_lazy("No")
        YES = "yes", gettext_lazy("Yes")
        UNSURE = "unsure", gettext_lazy("Don’t know")

    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="movements")
    kind = models.CharField(max_length=12, choices=Kind)
    at = models.DateTimeField()
    by = models.ForeignKey(User, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    person = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="movements"
    )
    from_site = models.ForeignKey(
        Site, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    to_site = models.ForeignKey(
        Site, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    due_back_on = models.DateField(null=True, blank=True)
    loaded = models.CharField(
        gettext_lazy("held a fall?"), max_length=6, choices=Answer, blank=True
    )
    wrong = models.CharField(
        gettext_lazy("anything wrong?"), max_length=6, choices=Answer, blank=True
    )
    reference = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {shown_day(self.at)}"
