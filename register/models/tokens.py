"""Access tokens of other systems, and the answers kept so that a request sent twice acts once."""

from __future__ import annotations

from datetime import date

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.models.people import User
from register.models.places import Site
from register.rules.tokens import LEAD, PREFIX_LENGTH, TOKEN_NEEDS


class AccessTokenQuerySet(models.QuerySet["AccessToken"]):
    def visible_to(self, user: User | AnonymousUser) -> AccessTokenQuerySet:
        """One's own. Whoever gives roles sees those of the users they see: ``of_users``."""
        return self.none() if isinstance(user, AnonymousUser) else self.filter(owner=user)

    def of_users(self, users: models.QuerySet[User]) -> AccessTokenQuerySet:
        return self.filter(owner__in=users)


class AccessToken(models.Model):
    """What another system signs in with. It acts in its owner's name and never beyond their rights.

    Only the hash of the secret is kept; ``prefix`` is public and finds the row. ``needs`` are of the
    one table. ``through_on`` is its last day (UTC).
    """

    name = models.CharField(gettext_lazy("what it is for"), max_length=60)
    prefix = models.CharField(max_length=PREFIX_LENGTH, unique=True)
    secret_hash = models.CharField(max_length=64)
    owner = models.ForeignKey(User, on_delete=models.PROTECT, related_name="tokens")
    needs = models.JSONField(default=list)
    every_site = models.BooleanField(gettext_lazy("at every site of its owner"), default=False)
    sites = models.ManyToManyField(Site, blank=True, related_name="+")
    made_at = models.DateTimeField()
    through_on = models.DateField(gettext_lazy("last day"))
    last_used_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    objects = AccessTokenQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "pk"]

    def __str__(self) -> str:
        return f"{self.name} ({self.prefix})"

    def works_on(self, day: date) -> bool:
        """Whether it is neither revoked nor past its last day."""
        return self.revoked_at is None and day <= self.through_on

    @property
    def beginning(self) -> str:
        """What its bearer's copy begins with."""
        return f"{LEAD}_{self.prefix}"

    @property
    def need_names(self) -> list[str]:
        """What it may do, in words."""
        return [_(TOKEN_NEEDS[need]) for need in self.needs if need in TOKEN_NEEDS]


class KeptAnswer(models.Model):
    """The answer to a request that carried a key of its sender's own; kept for seven days.

    ``fingerprint`` is of what was asked. Without ``status`` it is still being worked on, by whoever
    wrote ``claim`` last.
    """

    token = models.ForeignKey(AccessToken, on_delete=models.CASCADE, related_name="kept_answers")
    key = models.CharField(max_length=255)
    fingerprint = models.CharField(max_length=64)
    claim = models.UUIDField()
    begun_at = models.DateTimeField(db_index=True)
    status = models.PositiveSmallIntegerField(null=True, blank=True)
    media_type = models.CharField(max_length=60, blank=True)
    body = models.TextField(blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["token", "key"], name="key_once_a_token")]

    def __str__(self) -> str:
        return f"{self.key}: {self.status or '…'}"
