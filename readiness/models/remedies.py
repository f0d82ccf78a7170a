"""What acts cost and how long they take, as the employer sets it; and the jobs given out."""

from __future__ import annotations

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from readiness.models.people import FAMILY_CHOICES, Competence
from readiness.models.tasks import Task
from readiness.rules.remedies.terms import KINDS
from register.models import Item, Person, Site, User
from register.wording import named, shown_day, shown_number

KIND_CHOICES = tuple((slug, kind.name) for slug, kind in KINDS.items())


class RemedyTerms(models.Model):
    """How long one kind of act takes from the decision on, and what it costs; one row a kind.

    A kind without a row goes by the proposal in `readiness.rules.remedies.terms`.
    """

    kind = models.CharField(max_length=20, choices=named(KIND_CHOICES), unique=True)
    lead_hours = models.PositiveSmallIntegerField(gettext_lazy("hours until it is done"))
    cost = models.PositiveIntegerField(gettext_lazy("cost"))

    class Meta:
        ordering = ["kind"]
        verbose_name_plural = "remedy terms"

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.lead_hours} h, {self.cost}"


class SiteTravel(models.Model):
    """Hours from one site to another, both ways."""

    start = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="+")
    end = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="+")
    hours = models.FloatField()

    class Meta:
        ordering = ["start", "end"]
        constraints = [
            models.UniqueConstraint(fields=["start", "end"], name="travel_once"),
            models.CheckConstraint(condition=~Q(start=F("end")), name="travel_between_two_sites"),
        ]

    def __str__(self) -> str:
        return _("%(start)s to %(end)s: %(hours)s h") % {
            "start": self.start,
            "end": self.end,
            "hours": shown_number(self.hours),
        }


class CourseDate(models.Model):
    """A day on which somebody can be trained or refreshed on a family of kits, or in first aid."""

    kind = models.CharField(max_length=12, choices=Competence.Kind)
    family = models.CharField(
        gettext_lazy("kit family"), max_length=40, choices=named(FAMILY_CHOICES), blank=True
    )
    held_on = models.DateField(gettext_lazy("held on"))

    class Meta:
        ordering = ["held_on", "kind", "family"]
        constraints = [
            models.UniqueConstraint(fields=["kind", "family", "held_on"], name="course_once_a_day")
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.family}, {shown_day(self.held_on)}".strip()


class JobQuerySet(models.QuerySet["Job"]):
    def visible_to(self, user: User | AnonymousUser) -> JobQuerySet:
        sites = Site.objects.visible_to(user)
        return self.filter(Q(site__in=sites) | Q(lender__in=sites))

    def open(self) -> JobQuerySet:
        return self.filter(state=Job.State.OPEN)


class Job(models.Model):
    """Something a named person is to do by a moment. It says nothing about cover: only the record
    of what was done changes an answer. `lender` is the site that gives a kit away, and is told."""

    class State(models.TextChoices):
        OPEN = "open", gettext_lazy("Open")
        DONE = "done", gettext_lazy("Done")
        DROPPED = "dropped", gettext_lazy("Dropped")

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="jobs")
    task = models.ForeignKey(Task, on_delete=models.PROTECT, related_name="jobs")
    lender = models.ForeignKey(
        Site, null=True, blank=True, on_delete=models.PROTECT, related_name="jobs_lent"
    )
    kind = models.CharField(max_length=20)
    costs = models.CharField(gettext_lazy("what it costs others"), max_length=300, blank=True)
    what = models.CharField(gettext_lazy("what is to be done"), max_length=300)
    who = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="jobs"
    )
    item = models.ForeignKey(
        Item, null=True, blank=True, on_delete=models.PROTECT, related_name="jobs"
    )
    about = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    due_at = models.DateTimeField(gettext_lazy("by"))
    uses = models.JSONField(default=list, blank=True)
    state = models.CharField(max_length=8, choices=State, default=State.OPEN)
    reason = models.CharField(gettext_lazy("how it ended"), max_length=200, blank=True)
    given_at = models.DateTimeField()
    given_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)

    objects = JobQuerySet.as_manager()

    class Meta:
        ordering = ["due_at", "pk"]

    def __str__(self) -> str:
        return self.what
