"""What people are told: where and of what each is written to, and each message until it is sent."""

from __future__ import annotations

import uuid
from datetime import datetime

from django.contrib.auth.models import AnonymousUser
from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.models.people import User
from register.rules.message_kinds import CONFIRM, KINDS


class Postbox(models.Model):
    """Where a user is written to, in which language, and which kinds they have left.

    Nothing but the link that confirms it is sent to an address that is not confirmed. The last days
    say for which morning and week the user has been thought of, so that nobody is twice.
    """

    user = models.OneToOneField(
        User, on_delete=models.CASCADE, related_name="postbox", primary_key=True
    )
    address = models.EmailField(gettext_lazy("e-mail address"), blank=True)
    language = models.CharField(gettext_lazy("language"), max_length=10, blank=True)
    asked_at = models.DateTimeField(null=True, blank=True)
    confirmed_at = models.DateTimeField(null=True, blank=True)
    left = models.JSONField(gettext_lazy("kinds left"), default=list, blank=True)
    last_morning_on = models.DateField(null=True, blank=True)
    last_week_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["user"]
        verbose_name_plural = "postboxes"

    def __str__(self) -> str:
        return f"{self.user}: {self.address or '-'}"

    def takes(self, kind: str) -> bool:
        """Whether the user is to be written to about this."""
        if kind == CONFIRM:
            return bool(self.address)
        return bool(self.address and self.confirmed_at and kind not in self.left)


class MessageQuerySet(models.QuerySet["Message"]):
    def visible_to(self, user: User | AnonymousUser) -> MessageQuerySet:
        """One's own; the link that confirms an address is read in the letter alone."""
        if isinstance(user, AnonymousUser) or not user.holdings:
            return self.none()
        return self.filter(user=user).exclude(kind=CONFIRM)

    def waiting(self) -> MessageQuerySet:
        return self.filter(by_mail=True, sent_at=None, given_up_at=None)


class Message(models.Model):
    """One thing told to one user, once: `key` names the fact. Its `id` is that of the letter too.

    Where `by_mail` is no, it is kept on the user's page alone.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="told")
    kind = models.CharField(max_length=12)
    key = models.CharField(max_length=120)
    subject = models.CharField(max_length=200)
    text = models.TextField()
    made_at = models.DateTimeField(db_index=True)
    by_mail = models.BooleanField(default=False)
    next_try_at = models.DateTimeField()
    tries = models.PositiveSmallIntegerField(default=0)
    sent_at = models.DateTimeField(null=True, blank=True)
    given_up_at = models.DateTimeField(null=True, blank=True)
    last_error = models.CharField(max_length=200, blank=True)

    objects = MessageQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["user", "kind", "key"], name="fact_told_once")
        ]
        indexes = [
            models.Index(
                fields=["next_try_at"],
                condition=Q(by_mail=True, sent_at=None, given_up_at=None),
                name="messages_waiting",
            )
        ]

    def __str__(self) -> str:
        return self.subject

    @property
    def kind_name(self) -> str:
        return _(KINDS[self.kind].name) if self.kind in KINDS else _("Confirming an address")


class MessageTerms(models.Model):
    """At what hour of the site's day the morning's messages are made; one row."""

    morning_hour = models.PositiveSmallIntegerField(
        gettext_lazy("hour of the morning"), default=6, validators=[MaxValueValidator(12)]
    )
    sender_looked_at = models.DateTimeField(null=True, blank=True, editable=False)

    def __str__(self) -> str:
        return f"{self.morning_hour}:00"


def sender_rests(terms: MessageTerms, at: datetime, minutes: int = 15) -> bool:
    """Whether nothing has looked for messages to send lately."""
    seen = terms.sender_looked_at
    return seen is None or (at - seen).total_seconds() > minutes * 60
