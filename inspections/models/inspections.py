"""Inspections and defects as they were found; nothing here is ever edited."""

from __future__ import annotations

import uuid

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.models.checklists import ChecklistVersion
from inspections.rules.checklists import STATEMENT_CHOICES
from inspections.rules.kinds import KIND_CHOICES
from inspections.rules.verdict import DEFECT_CLASS_CHOICES, VERDICT_CHOICES
from register.models import Document, Item, Person, Site, User
from register.wording import named, shown_day


class InspectionQuerySet(models.QuerySet["Inspection"]):
    def visible_to(self, user: User | AnonymousUser) -> InspectionQuerySet:
        return self.filter(item__in=Item.objects.visible_to(user))

    def standing(self) -> InspectionQuerySet:
        """Those that no later record has superseded."""
        return self.filter(superseded_by=None)


class Inspection(models.Model):
    """One look at one item. ``performed_on`` is the site's own day; clocks run from it.

    ``counts`` is stored when it is recorded: whether the inspector was authorised for this class
    and kind on that day (``authority``) and independent. One that does not count is kept and moves
    no clock; one of a round counts from ``signed_at``, when the round was signed. ``statement`` is what was said of the points of ``checklist`` as a whole; ``answers``
    and ``measured`` hold only what was said of single points, by their slugs. ``contents`` are the
    pieces of a kit as they were ticked.
    """

    class Source(models.TextChoices):
        DIRECT = "direct", gettext_lazy("Recorded at the item")
        PAPER = "paper", gettext_lazy("Entered later from paper")
        BROUGHT_IN = "brought-in", gettext_lazy("Brought in from a workbook")
        REPORT = "report", gettext_lazy("Brought in from an examiner’s report")

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="inspections")
    kind = models.CharField(max_length=24, choices=named(KIND_CHOICES))
    verdict = models.CharField(max_length=24, choices=named(VERDICT_CHOICES))
    performed_on = models.DateField()
    performed_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="inspections_recorded"
    )
    inspector = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="inspections"
    )
    inspector_text = models.CharField(
        gettext_lazy("inspector, as written"), max_length=120, blank=True
    )
    site = models.ForeignKey(
        Site, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    counts = models.BooleanField(default=False)
    counts_not_because = models.CharField(max_length=40, blank=True)
    signed_at = models.DateTimeField(
        gettext_lazy("signed with its round at"), null=True, blank=True
    )
    authority = models.ForeignKey(
        "Authorisation", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    checklist = models.ForeignKey(
        ChecklistVersion, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    statement = models.CharField(
        gettext_lazy("said of the points"),
        max_length=12,
        choices=named(STATEMENT_CHOICES),
        blank=True,
    )
    answers = models.JSONField(default=dict, blank=True)
    measured = models.JSONField(default=dict, blank=True)
    contents = models.JSONField(gettext_lazy("pieces of the kit"), default=list, blank=True)
    left_shut = models.BooleanField(gettext_lazy("kit not opened, its seal whole"), default=False)
    good_until_on = models.DateField(gettext_lazy("good until, if shorter"), null=True, blank=True)
    restricted_to = models.CharField(gettext_lazy("only for"), max_length=60, blank=True)
    covers_periodic = models.BooleanField(
        gettext_lazy("the maker’s periodic examination procedure was followed"), default=False
    )
    note = models.CharField(max_length=400, blank=True)
    particulars = models.JSONField(
        gettext_lazy("particulars as the report states them"), default=dict, blank=True
    )
    source = models.CharField(max_length=12, choices=Source, default=Source.DIRECT)
    late_reason = models.CharField(
        gettext_lazy("why it was entered later"), max_length=200, blank=True
    )
    document = models.ForeignKey(
        Document, null=True, blank=True, on_delete=models.PROTECT, related_name="inspections"
    )
    supersedes = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="superseded_by"
    )
    superseding_reason = models.CharField(max_length=200, blank=True)

    objects = InspectionQuerySet.as_manager()

    class Meta:
        ordering = ["-performed_at", "-recorded_at"]
        indexes = [models.Index(fields=["item", "-performed_on"], name="inspections_of_an_item")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {shown_day(self.performed_on)}: {self.get_verdict_display()}"

    @property
    def inspector_name(self) -> str:
        return self.inspector.name if self.inspector else self.inspector_text


class Defect(models.Model):
    """What was wrong, how bad, and where on the item (classes after LOLER 1998, regulation 10)."""

    inspection = models.ForeignKey(Inspection, on_delete=models.PROTECT, related_name="defects")
    grade = models.CharField(
        gettext_lazy("how bad"), max_length=1, choices=named(DEFECT_CLASS_CHOICES)
    )
    danger_by_on = models.DateField(gettext_lazy("could become a danger by"), null=True, blank=True)
    what = models.CharField(gettext_lazy("what is wrong"), max_length=200)
    place = models.CharField(gettext_lazy("where on the item"), max_length=80, blank=True)
    point = models.CharField(gettext_lazy("point of the checklist"), max_length=60, blank=True)
    action = models.CharField(gettext_lazy("what was done"), max_length=200, blank=True)
    photo = models.ForeignKey(
        Document, null=True, blank=True, on_delete=models.PROTECT, related_name="defects"
    )

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(grade="B") | Q(danger_by_on__isnull=False),
                name="danger_by_has_a_date",
                violation_error_message=gettext_lazy(
                    "Say by which day this could become a danger."
                ),
            )
        ]

    def __str__(self) -> str:
        return self.what


class Authorisation(models.Model):
    """A person may inspect these classes by these kinds, from a day through a day.

    Empty ``classes`` or ``kinds`` stand for all of them.
    """

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="authorisations")
    classes = models.JSONField(default=list, blank=True)
    kinds = models.JSONField(default=list, blank=True)
    from_on = models.DateField()
    through_on = models.DateField()
    given_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    basis = models.CharField(gettext_lazy("evidence of competence"), max_length=120, blank=True)
    independence = models.CharField(
        gettext_lazy("independent of whom, how"), max_length=200, blank=True
    )

    class Meta:
        ordering = ["person", "from_on"]
        constraints = [
            models.CheckConstraint(
                condition=Q(through_on__gte=models.F("from_on")),
                name="authorisation_ends_after_it_begins",
                violation_error_message=gettext_lazy("The last day comes before the first."),
            )
        ]

    def __str__(self) -> str:
        return _("%(person)s, %(first)s to %(last)s") % {
            "person": self.person,
            "first": shown_day(self.from_on),
            "last": shown_day(self.through_on),
        }
