"""Safety notices of makers and authorities, and the items each of them means."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy

from inspections.models.inspections import Inspection
from inspections.rules.notice_kinds import (
    HOLDING_KINDS,
    NOTICE_KIND_CHOICES,
    OUTCOME_CHOICES,
    OUTCOMES,
)
from inspections.rules.notice_match import CERTAINTY_CHOICES
from register.models import Document, Item, User
from register.rules.conditions import Condition
from register.wording import named

OUT_ALREADY = (Condition.WITHDRAWN, Condition.DESTROYED, Condition.LEFT)


class NoticeQuerySet(models.QuerySet["Notice"]):
    def visible_to(self, user: User | AnonymousUser) -> NoticeQuerySet:
        """Every notice for whoever holds a role: what a maker says is no secret of one site."""
        if isinstance(user, AnonymousUser) or not user.holdings:
            return self.none()
        return self

    def in_force(self) -> NoticeQuerySet:
        """Neither withdrawn nor followed by another version."""
        return self.filter(revised_by=None, withdrawn_at=None)


class Notice(models.Model):
    """What an issuer says of some pieces, as one version; the rule's parts must all hold.

    ``products`` are [maker, model] with '' for every model, ``serials`` [from, to] with '' for an
    open end. What was said is never edited: another version takes its place with a reason.
    """

    issuer = models.CharField(max_length=120)
    reference = models.CharField(max_length=60)
    version = models.PositiveSmallIntegerField(default=1)
    name_key = models.CharField(max_length=190, editable=False)
    kind = models.CharField(max_length=16, choices=named(NOTICE_KIND_CHOICES))
    received_on = models.DateField(gettext_lazy("received"))
    text = models.TextField(gettext_lazy("what it says"))
    instructions = models.TextField(gettext_lazy("special inspection: what to look at"), blank=True)
    deadline_on = models.DateField(gettext_lazy("last day of use"), null=True, blank=True)
    document = models.ForeignKey(
        Document, null=True, blank=True, on_delete=models.PROTECT, related_name="notices"
    )

    products = models.JSONField(default=list, blank=True)
    serials = models.JSONField(default=list, blank=True)
    batches = models.JSONField(default=list, blank=True)
    made_from_on = models.DateField(gettext_lazy("made from"), null=True, blank=True)
    made_through_on = models.DateField(gettext_lazy("made through"), null=True, blank=True)
    sold_from_on = models.DateField(gettext_lazy("sold from"), null=True, blank=True)
    sold_through_on = models.DateField(gettext_lazy("sold through"), null=True, blank=True)

    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    revises = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="revised_by"
    )
    revised_because = models.CharField(
        gettext_lazy("why it is revised"), max_length=300, blank=True
    )
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    withdrawn_because = models.CharField(
        gettext_lazy("why it is withdrawn"), max_length=300, blank=True
    )

    objects = NoticeQuerySet.as_manager()

    class Meta:
        ordering = ["-received_on", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["name_key", "version"],
                name="notice_once_an_issuer",
                violation_error_message=gettext_lazy("This issuer's notice is entered already."),
            )
        ]

    def __str__(self) -> str:
        version = f", version {self.version}" if self.version > 1 else ""
        return f"{self.issuer} {self.reference}{version}"

    def get_absolute_url(self) -> str:
        return reverse("inspections:notice-detail", args=[self.pk])

    @property
    def is_in_force(self) -> bool:
        return self.withdrawn_at is None and not hasattr(self, "revised_by")


def _ended_by(outcomes: Sequence[str]) -> Q:
    """Ended in one of these ways; by a pass only while no later record has superseded that."""
    proven = [slug for slug in outcomes if OUTCOMES[slug].needs_pass]
    told = [slug for slug in outcomes if not OUTCOMES[slug].needs_pass]
    stands = Q(inspection__isnull=False, inspection__superseded_by__isnull=True)
    return Q(outcome__in=told) | Q(outcome__in=proven) & stands


LIFTS_HOLD = [slug for slug, one in OUTCOMES.items() if one.lifts_hold]
LIFTS_DEADLINE = [slug for slug, one in OUTCOMES.items() if one.lifts_deadline]


class NoticeMatchQuerySet(models.QuerySet["NoticeMatch"]):
    def visible_to(self, user: User | AnonymousUser) -> NoticeMatchQuerySet:
        return self.filter(item__in=Item.objects.visible_to(user))

    def meant(self) -> NoticeMatchQuerySet:
        """Certain and possible ones of a notice in force."""
        in_force = Q(notice__revised_by=None, notice__withdrawn_at=None)
        return self.filter(in_force).exclude(certainty="none")

    def holding(self) -> NoticeMatchQuerySet:
        """Those that keep their item from use, whatever its condition and its dates."""
        return self.meant().filter(~_ended_by(LIFTS_HOLD), notice__kind__in=HOLDING_KINDS)

    def with_deadline(self) -> NoticeMatchQuerySet:
        """Those whose notice gives a last day of use that still binds the item."""
        return self.meant().filter(~_ended_by(LIFTS_DEADLINE), notice__deadline_on__isnull=False)

    def to_settle(self) -> NoticeMatchQuerySet:
        """Those for which somebody has still something to do."""
        proven = [slug for slug, one in OUTCOMES.items() if one.needs_pass]
        undone = Q(outcome="") | Q(outcome__in=proven, inspection__superseded_by__isnull=False)
        return self.meant().filter(undone).exclude(item__condition__in=OUT_ALREADY)


class NoticeMatch(models.Model):
    """How far one notice means one item, who was told, and how it ended for that item."""

    notice = models.ForeignKey(Notice, on_delete=models.PROTECT, related_name="matches")
    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="notice_matches")
    certainty = models.CharField(max_length=8, choices=named(CERTAINTY_CHOICES))
    doubts = models.JSONField(default=list, blank=True)
    matched_at = models.DateTimeField()

    acknowledged_at = models.DateTimeField(null=True, blank=True)
    acknowledged_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    acknowledged_how = models.CharField(
        gettext_lazy("who said so, and how"), max_length=120, blank=True
    )

    outcome = models.CharField(max_length=16, choices=named(OUTCOME_CHOICES), blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    closed_because = models.CharField(gettext_lazy("why"), max_length=300, blank=True)
    inspection = models.ForeignKey(
        Inspection, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = NoticeMatchQuerySet.as_manager()

    class Meta:
        ordering = ["notice", "certainty", "item"]
        verbose_name_plural = "notice matches"
        constraints = [
            models.UniqueConstraint(fields=["notice", "item"], name="match_once_an_item")
        ]

    def __str__(self) -> str:
        return f"{self.notice}: {self.item_id}, {self.certainty}"

    @property
    def site_id(self) -> int:
        return self.item.site_id

    @property
    def proof_is_gone(self) -> bool:
        """The pass that settled it was corrected since."""
        return self.inspection is not None and hasattr(self.inspection, "superseded_by")

    @property
    def is_open(self) -> bool:
        """Somebody has still something to do: the same as ``to_settle`` asks of the database."""
        undone = not self.outcome or self.proof_is_gone
        return undone and self.certainty != "none" and self.item.condition not in OUT_ALREADY

    @property
    def judged(self) -> tuple[Any, ...]:
        """What the rule said, to compare with what it says now."""
        return self.certainty, [list(doubt) for doubt in self.doubts]
