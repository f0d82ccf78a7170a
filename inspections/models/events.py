"""What happened to equipment: arrested falls and other events, what was in them, what was told."""

from __future__ import annotations

import uuid

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy

from inspections.rules.events import EVENT_KIND_CHOICES, LOADED, PART_CHOICES
from register.models import Hold, Item, Kit, Person, Site, User, Zone
from register.rules.conditions import Condition
from register.wording import named, shown_day, shown_moment


class EventQuerySet(models.QuerySet["Event"]):
    def visible_to(self, user: User | AnonymousUser) -> EventQuerySet:
        return self.filter(site__in=Site.objects.visible_to(user))


class Event(models.Model):
    """Something happened, and what was in it is out since that moment.

    ``account`` is what was told first. Nothing changes it: later words are ``EventAccount``.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    kind = models.CharField(
        gettext_lazy("what happened"),
        max_length=12,
        choices=named(EVENT_KIND_CHOICES),
        default="arrest",
    )
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="events")
    zone = models.ForeignKey(
        Zone, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    place = models.CharField(gettext_lazy("where exactly"), max_length=120, blank=True)
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    items = models.ManyToManyField(Item, through="EventItem", related_name="events")
    account = models.TextField(gettext_lazy("what happened, in words"), blank=True)
    hold = models.OneToOneField(
        Hold, null=True, blank=True, on_delete=models.PROTECT, related_name="event"
    )

    objects = EventQuerySet.as_manager()

    class Meta:
        ordering = ["-happened_at"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.site}, {shown_moment(self.happened_at)} UTC"

    def get_absolute_url(self) -> str:
        page = "arrest-detail" if self.kind == "arrest" else "event-detail"
        return reverse(f"inspections:{page}", args=[self.pk])


class EventItem(models.Model):
    """One item that was in the event, and how."""

    event = models.ForeignKey(Event, on_delete=models.PROTECT, related_name="lines")
    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="event_lines")
    part = models.CharField(max_length=12, choices=named(PART_CHOICES), default="concerned")
    cleared_at = models.DateTimeField(
        gettext_lazy("found not to have been loaded"), null=True, blank=True
    )
    cleared_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    cleared_because = models.CharField(gettext_lazy("how it is known"), max_length=300, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["event", "item"], name="item_once_an_event")]

    def __str__(self) -> str:
        return f"{self.item}: {self.get_part_display()}"

    @property
    def can_be_cleared(self) -> bool:
        """It counts as loaded, nobody has said otherwise yet, and it waits for somebody's word."""
        return (
            self.part in LOADED
            and self.cleared_at is None
            and self.item.condition == Condition.QUARANTINED
        )


class EventAccount(models.Model):
    """Later words about an event, with their day and their author, beside the first account."""

    event = models.ForeignKey(Event, on_delete=models.PROTECT, related_name="accounts")
    at = models.DateTimeField(gettext_lazy("told at"))
    by = models.ForeignKey(User, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    text = models.TextField(gettext_lazy("what is to be added"))

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"{shown_day(self.at)}: {self.text[:40]}"


class Arrest(Event):
    """A fall that was arrested, with what a fall has more. No medical detail has a column here.

    What was not known at first is filled in later, once; nothing that was filled in is changed.
    """

    class Answer(models.TextChoices):
        YES = "yes", gettext_lazy("Yes")
        NO = "no", gettext_lazy("No")

    wearer = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    wearer_alias = models.CharField(
        gettext_lazy("who fell, under another name"), max_length=60, blank=True
    )
    task = models.CharField(gettext_lazy("what was being done"), max_length=120, blank=True)
    free_fall_m = models.DecimalField(
        gettext_lazy("free fall, estimated (m)"),
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
    )
    suspended_minutes = models.PositiveSmallIntegerField(
        gettext_lazy("minutes in suspension"), null=True, blank=True
    )
    rescue_method = models.CharField(
        gettext_lazy("how they were brought to safety"), max_length=200, blank=True
    )
    rescue_kit = models.ForeignKey(
        Kit,
        verbose_name=gettext_lazy("rescue kit"),
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    rescuers = models.ManyToManyField(Person, blank=True, related_name="+")
    first_aid = models.CharField(
        gettext_lazy("was first aid given?"), max_length=3, choices=Answer, blank=True
    )
    report_reference = models.CharField(
        gettext_lazy("reference of a report to the authority"), max_length=60, blank=True
    )
    evidence_place = models.CharField(
        gettext_lazy("where the evidence is kept"), max_length=120, blank=True
    )

    class Meta:
        ordering = ["-happened_at"]
