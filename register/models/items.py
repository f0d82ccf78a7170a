"""Items, their tags and the kits made of them: the equipment record of EN 365 and where it is."""

from __future__ import annotations

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.models.catalogue import Product
from register.models.people import Person, User
from register.models.places import Site, Zone
from register.rules.classes import USE_CLASS_CHOICES
from register.rules.conditions import (
    CONDITION_CHOICES,
    CUSTODY_CHOICES,
    QUARANTINE_REASON_CHOICES,
    Condition,
)
from register.rules.lifespan import PRECISION_CHOICES
from register.rules.tags import shown
from register.wording import named


class ItemQuerySet(models.QuerySet["Item"]):
    def visible_to(self, user: User | AnonymousUser) -> ItemQuerySet:
        """The items at, or on their way to, the sites on which the user holds a role."""
        if isinstance(user, AnonymousUser) or not user.holdings:
            return self.none()
        if user.sees_all_sites:
            return self
        return self.filter(Q(site__in=user.site_ids) | Q(bound_for__in=user.site_ids))

    def in_service(self) -> ItemQuerySet:
        return self.filter(condition=Condition.IN_SERVICE)

    def held_by(self, person: Person) -> ItemQuerySet:
        return self.filter(holder=person)

    def with_product(self) -> ItemQuerySet:
        """With all that a line about an item shows."""
        return self.select_related("product", "site", "holder", "zone", "kit__item")


class Item(models.Model):
    """One piece of equipment. Its condition, its place and its dates are three different things."""

    code = models.CharField(gettext_lazy("tag"), max_length=8, unique=True)
    product = models.ForeignKey(Product, on_delete=models.PROTECT, related_name="items")
    serial = models.CharField(gettext_lazy("serial, as marked"), max_length=60)
    serial_key = models.CharField(max_length=60, db_index=True, editable=False)
    batch = models.CharField(max_length=60, blank=True)
    size = models.CharField(max_length=20, blank=True)
    made_first_on = models.DateField(gettext_lazy("made, earliest day"), null=True, blank=True)
    made_last_on = models.DateField(gettext_lazy("made, latest day"), null=True, blank=True)
    made_precision = models.CharField(
        max_length=8, choices=named(PRECISION_CHOICES), default="unknown"
    )
    purchased_on = models.DateField(null=True, blank=True)
    first_used_on = models.DateField(null=True, blank=True)
    accepted_on = models.DateField(null=True, blank=True)
    delivery = models.ForeignKey(
        "register.Delivery", null=True, blank=True, on_delete=models.PROTECT, related_name="items"
    )
    owner = models.CharField(gettext_lazy("owner, if not us"), max_length=120, blank=True)
    hire_end_on = models.DateField(gettext_lazy("hire ends on"), null=True, blank=True)
    use_class = models.CharField(
        gettext_lazy("conditions of use"),
        max_length=12,
        choices=named(USE_CLASS_CHOICES),
        default="normal",
    )
    use_class_set_at = models.DateTimeField(null=True, blank=True)
    fixed_on = models.DateField(gettext_lazy("put up where it is on"), null=True, blank=True)
    proof_test_months = models.PositiveSmallIntegerField(
        gettext_lazy("months between proof tests"), null=True, blank=True
    )
    remarks = models.CharField(max_length=200, blank=True)

    condition = models.CharField(max_length=12, choices=named(CONDITION_CHOICES))
    quarantine_reason = models.CharField(
        max_length=24, choices=named(QUARANTINE_REASON_CHOICES), blank=True
    )
    quarantined_also_for = models.JSONField(
        gettext_lazy("further reasons"), default=list, blank=True
    )
    quarantined_at = models.DateTimeField(gettext_lazy("quarantined, last"), null=True, blank=True)
    quarantined_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    out_since_at = models.DateTimeField(gettext_lazy("out of service since"), null=True, blank=True)

    custody = models.CharField(max_length=12, choices=named(CUSTODY_CHOICES), default="stores")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="items")
    bound_for = models.ForeignKey(
        Site, null=True, blank=True, on_delete=models.PROTECT, related_name="items_coming"
    )
    zone = models.ForeignKey(
        Zone, null=True, blank=True, on_delete=models.PROTECT, related_name="items"
    )
    place = models.CharField(gettext_lazy("exact place"), max_length=120, blank=True)
    holder = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="held_items"
    )
    due_back_on = models.DateField(null=True, blank=True)
    kit = models.ForeignKey(
        "register.Kit", null=True, blank=True, on_delete=models.PROTECT, related_name="contents"
    )

    objects = ItemQuerySet.as_manager()

    class Meta:
        ordering = ["code"]
        constraints = [
            models.UniqueConstraint(
                fields=["product", "serial_key"],
                name="serial_once_a_product",
                violation_error_message=gettext_lazy(
                    "This product is registered with this serial already."
                ),
            )
        ]
        indexes = [
            models.Index(fields=["site", "condition"], name="items_of_a_site"),
            models.Index(fields=["holder"], name="items_of_a_holder"),
        ]

    def __str__(self) -> str:
        return f"{self.shown_code} ({self.product.kind_name.lower()} {self.serial})"

    def get_absolute_url(self) -> str:
        return reverse("inspections:item-detail", args=[self.code])

    @property
    def shown_code(self) -> str:
        """The tag as people read it aloud, in groups."""
        return shown(self.code)

    @property
    def where(self) -> str:
        """Where it is, in one phrase."""
        who = self.holder.name if self.holder else ""
        return ", ".join(part for part in (who, self.place_name) if part)

    @property
    def place_name(self) -> str:
        """Where it is, without who has it."""
        spot = self.place or (self.zone.name if self.zone else "")
        return ", ".join(part for part in (spot, self.site.name) if part)


class Tag(models.Model):
    """One code, given once and never again; an item whose tag was replaced has had several.

    ``secret`` stands beside the code in the QR, so that guessing codes lets nobody act.
    """

    code = models.CharField(max_length=8, unique=True)
    secret = models.CharField(max_length=16)
    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="tags")
    issue = models.PositiveSmallIntegerField(default=1)
    issued_at = models.DateTimeField()
    replaced_at = models.DateTimeField(null=True, blank=True)
    replaced_because = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["-issue"]

    def __str__(self) -> str:
        return shown(self.code)


class KitQuerySet(models.QuerySet["Kit"]):
    def visible_to(self, user: User | AnonymousUser) -> KitQuerySet:
        return self.filter(item__in=Item.objects.visible_to(user))


class Kit(models.Model):
    """A rescue kit: an item made of required parts, closed by a numbered seal."""

    item = models.OneToOneField(Item, on_delete=models.PROTECT, related_name="as_kit")
    name = models.CharField(gettext_lazy("kit"), max_length=20, unique=True)
    contents_version = models.PositiveSmallIntegerField(default=1)
    seal_number = models.CharField(max_length=30, blank=True)
    seal_intact = models.BooleanField(default=False)
    sealed_on = models.DateField(null=True, blank=True)

    objects = KitQuerySet.as_manager()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("inspections:kit-detail", args=[self.name])

    @property
    def site_id(self) -> int:
        return self.item.site_id


class KitPart(models.Model):
    """One line of the contents card: the role, and the item that fills it (none: missing)."""

    kit = models.ForeignKey(Kit, on_delete=models.PROTECT, related_name="parts")
    role = models.CharField(gettext_lazy("part"), max_length=60)
    item = models.OneToOneField(
        Item, null=True, blank=True, on_delete=models.PROTECT, related_name="part_of"
    )
    required = models.BooleanField(default=True)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["kit", "position", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["kit", "role"], name="part_once_a_kit"),
        ]

    def __str__(self) -> str:
        return _("%(role)s of %(kit)s") % {"role": self.role, "kit": self.kit}


class SealEvent(models.Model):
    """What happened to a kit's seal: closed, opened, found broken, looked at."""

    class Kind(models.TextChoices):
        CLOSED = "closed", gettext_lazy("Closed")
        OPENED = "opened", gettext_lazy("Opened")
        BROKEN = "broken", gettext_lazy("Found broken")
        MISSING = "missing", gettext_lazy("Found missing")
        SEEN = "seen", gettext_lazy("Seen intact")

    kit = models.ForeignKey(Kit, on_delete=models.PROTECT, related_name="seal_events")
    kind = models.CharField(max_length=8, choices=Kind)
    number = models.CharField(max_length=30, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(User, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    reason = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["-at"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.number}"
