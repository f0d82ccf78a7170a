"""Files being brought in: what was answered about each, how far it is, and what came of it."""

from __future__ import annotations

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.utils.translation import gettext_lazy

from register.models import Document, Item, Site, User
from register.wording import shown_day


class IntakeQuerySet(models.QuerySet["Intake"]):
    def visible_to(self, user: User | AnonymousUser) -> IntakeQuerySet:
        """One's own; all of them for who sees every site."""
        if isinstance(user, AnonymousUser) or not user.holdings:
            return self.none()
        return self if user.sees_all_sites else self.filter(by=user)


class Intake(models.Model):
    """One file on its way into the register, of whatever kind.

    The plan itself is never kept: it is made again from the document each time, with ``mapping``
    (sheet to columns) and ``choices`` (all else that was answered). ``seen`` holds what the
    questions need, ``findings`` what the preview tells; ``counts`` are lines by outcome.
    """

    class Kind(models.TextChoices):
        EQUIPMENT = "equipment", gettext_lazy("Equipment list")
        REPORT = "report", gettext_lazy("Examiner’s report")
        TRAINING = "training", gettext_lazy("Training matrix")
        ROTA = "rota", gettext_lazy("Rota")

    class State(models.TextChoices):
        READ = "read", gettext_lazy("Columns to be looked at")
        PLANNING = "planning", gettext_lazy("Being looked through")
        PLANNED = "planned", gettext_lazy("Ready to go in")
        APPLYING = "applying", gettext_lazy("Going in")
        DONE = "done", gettext_lazy("Brought in")
        STOPPED = "stopped", gettext_lazy("Stopped")
        UNDONE = "undone", gettext_lazy("Taken back")

    kind = models.CharField(max_length=10, choices=Kind, default=Kind.EQUIPMENT)
    document = models.ForeignKey(Document, on_delete=models.PROTECT, related_name="intakes")
    by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="intakes"
    )
    site = models.ForeignKey(
        Site, null=True, blank=True, on_delete=models.PROTECT, related_name="intakes"
    )
    brought_on = models.DateField()
    state = models.CharField(max_length=10, choices=State, default=State.READ)
    mapping = models.JSONField(default=dict, blank=True)
    choices = models.JSONField(default=dict, blank=True)
    seen = models.JSONField(default=dict, blank=True)
    findings = models.JSONField(default=dict, blank=True)
    counts = models.JSONField(default=dict, blank=True)
    made = models.JSONField(gettext_lazy("keys of what its lines made"), default=list, blank=True)
    lines_done = models.PositiveIntegerField(default=0)
    lines_total = models.PositiveIntegerField(default=0)
    message = models.CharField(max_length=400, blank=True)
    leftover = models.ForeignKey(
        Document, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    started_at = models.DateTimeField()
    moved_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)

    objects = IntakeQuerySet.as_manager()

    class Meta:
        ordering = ["-started_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.document.name}, {shown_day(self.started_at)}"

    @property
    def is_busy(self) -> bool:
        return self.state in {self.State.PLANNING, self.State.APPLYING}

    @property
    def share_done(self) -> int:
        """Whole per cent of the lines, rounded down."""
        return self.lines_done * 100 // self.lines_total if self.lines_total else 0


class BroughtIn(models.Model):
    """Where an item came from: its line, and the mark it had there, which no other item may have."""

    item = models.OneToOneField(
        Item, on_delete=models.CASCADE, related_name="brought_in", primary_key=True
    )
    intake = models.ForeignKey(Intake, on_delete=models.PROTECT, related_name="brought_in")
    sheet = models.CharField(max_length=100)
    line = models.PositiveIntegerField()
    old_mark = models.CharField(gettext_lazy("mark in the workbook"), max_length=60, blank=True)

    class Meta:
        ordering = ["sheet", "line"]

    def __str__(self) -> str:
        return f"{self.sheet}, line {self.line}"


class RememberedColumn(models.Model):
    """What a heading turned out to mean, so that the next such file needs no asking.

    ``kind`` is that of the file; words within its cells that somebody explained stand under a kind
    of their own, such as 'report-verdict'.
    """

    kind = models.CharField(max_length=20, default=Intake.Kind.EQUIPMENT)
    heading = models.CharField(max_length=200)
    field = models.CharField(max_length=60)

    class Meta:
        ordering = ["kind", "heading"]
        constraints = [
            models.UniqueConstraint(fields=["kind", "heading"], name="heading_once_a_kind")
        ]

    def __str__(self) -> str:
        return f"{self.heading}: {self.field}"
