"""Statements of cover kept for speed: one a site, never a truth of its own."""

from __future__ import annotations

from django.db import models
from django.db.models import F
from django.utils.translation import gettext_lazy

from register.models import Site


class KeptStatementQuerySet(models.QuerySet["KeptStatement"]):
    def with_site_version(self) -> KeptStatementQuerySet:
        """With the version that the site's facts have now, read at the same moment."""
        return self.annotate(site_version=F("site__facts_version"))


class KeptStatement(models.Model):
    """The answers of one site, computed from its facts at one version.

    It is behind where the site's version, or the program that judges, is another by now.
    `day_ends_at` is the site's next midnight: what it says still holds then, but it reaches a day
    less far. `told_since_at`: when it came into force. `took_ms` is what making it took.
    `manage.py check_cover` and a test prove that it says what the facts give.
    """

    site = models.OneToOneField(
        Site, on_delete=models.CASCADE, primary_key=True, related_name="kept_statement"
    )
    facts_version = models.PositiveBigIntegerField()
    facts = models.CharField(gettext_lazy("hash of the facts"), max_length=64)
    judged_by = models.CharField(gettext_lazy("mark of the rules"), max_length=16)
    made_at = models.DateTimeField()
    took_ms = models.PositiveIntegerField(default=0)
    day_ends_at = models.DateTimeField(db_index=True)
    told_since_at = models.DateTimeField()
    body = models.TextField()

    objects = KeptStatementQuerySet.as_manager()

    class Meta:
        ordering = ["site"]

    def __str__(self) -> str:
        return f"{self.site_id} at {self.made_at:%Y-%m-%d %H:%M}"

    def behind(self, judged_by: str) -> bool:
        """Whether anything changed since; the row needs `with_site_version`."""
        version: int = self.site_version  # type: ignore[attr-defined]
        return self.facts_version != version or self.judged_by != judged_by
