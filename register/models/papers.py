"""Who issues papers, and the papers that were issued: each by its reference, never changed after."""

from __future__ import annotations

from collections.abc import Iterable

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy

from register.models.ledger import thing_of
from register.models.people import User
from register.models.places import Site
from register.rules.tags import shown


class PaperSize(models.TextChoices):
    """The two sizes that printers hold, and the label of a label printer (100 x 150 mm)."""

    A4 = "a4", gettext_lazy("A4")
    LETTER = "letter", gettext_lazy("US Letter")
    LABEL = "label", gettext_lazy("Label, 100 × 150 mm")


class Employer(models.Model):
    """For whom everything here is kept: what stands on the head of every paper; one row."""

    name = models.CharField(gettext_lazy("name of the employer"), max_length=120)
    address = models.CharField(max_length=200, blank=True)
    paper_size = models.CharField(max_length=8, choices=PaperSize, default=PaperSize.A4)

    def __str__(self) -> str:
        return self.name


class PaperQuerySet(models.QuerySet["Paper"]):
    def visible_to(self, user: User | AnonymousUser) -> PaperQuerySet:
        """The papers of the sites on which the user holds a role; of no one site, by all sites."""
        if isinstance(user, AnonymousUser) or not user.holdings:
            return self.none()
        return self if user.sees_all_sites else self.filter(site__in=user.site_ids)

    def about(self, kind: str, things: Iterable[models.Model]) -> PaperQuerySet:
        """The papers of the kind on any of these things."""
        found = Q(pk__in=[])
        for thing in things:
            of, pk = thing_of(thing)
            found |= Q(subjects__thing_kind=of, subjects__thing_id=pk)
        return self.filter(found, kind=kind).distinct()


class Paper(models.Model):
    """One file that was issued. The file is not kept: its hash and its seal prove it.

    ``about`` is what it is about and what it says in one line, without a name of anybody: whoever
    holds the paper compares it. ``facts`` are salted hashes of what it rests on, by the kind of
    thing; ``facts_hash`` is the hash of them all. ``sealed_by`` is the certificate's SHA-256.
    """

    reference = models.CharField(max_length=7, unique=True)
    secret = models.CharField(max_length=16)
    kind = models.CharField(max_length=24)
    site = models.ForeignKey(
        Site, null=True, blank=True, on_delete=models.PROTECT, related_name="papers"
    )
    about = models.CharField(gettext_lazy("about"), max_length=300)
    language = models.CharField(max_length=8)
    size = models.CharField(max_length=8, choices=PaperSize)
    as_at = models.DateTimeField(gettext_lazy("as at"))
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="papers"
    )
    good_until_at = models.DateTimeField(null=True, blank=True)
    facts = models.JSONField(default=dict)
    facts_hash = models.CharField(max_length=64)
    file_hash = models.CharField(gettext_lazy("SHA-256 of the file"), max_length=64, db_index=True)
    sealed_by = models.CharField(gettext_lazy("SHA-256 of the certificate"), max_length=64)

    objects = PaperQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at"]
        indexes = [models.Index(fields=["site", "-made_at"], name="papers_of_a_site")]

    def __str__(self) -> str:
        return shown(self.reference)

    def get_absolute_url(self) -> str:
        return reverse("register:paper-check", args=[self.reference, self.secret])

    @property
    def is_of_the_past(self) -> bool:
        """It tells how things were at an earlier moment, not how they stand."""
        return self.as_at < self.made_at


class PaperSubject(models.Model):
    """One thing that a paper is about, by its name in the ledger."""

    paper = models.ForeignKey(Paper, on_delete=models.CASCADE, related_name="subjects")
    thing_kind = models.CharField(max_length=40)
    thing_id = models.CharField(max_length=40)

    class Meta:
        ordering = ["pk"]
        indexes = [models.Index(fields=["thing_kind", "thing_id"], name="papers_on_a_thing")]

    def __str__(self) -> str:
        return f"{self.thing_kind} {self.thing_id}"
