"""The figures that planning sums were made from, one row a version; what they give is never stored."""

from __future__ import annotations

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from readiness.models.tasks import Task
from register.models import Item, Product, Site, User


class TaskSumsQuerySet(models.QuerySet["TaskSums"]):
    def visible_to(self, user: User | AnonymousUser) -> TaskSumsQuerySet:
        return self.filter(task__site__in=Site.objects.visible_to(user))

    def newest_first(self) -> TaskSumsQuerySet:
        """With all that `readiness.facts.sums` asks of them."""
        return self.select_related(
            "product", "anchor__site", "anchor__zone", "author__person"
        ).order_by("topic", "-version")


class TaskSums(models.Model):
    """What was put into the sums of one topic of a task; the newest version stands.

    `figures` are in SI units under a `format` number, as the readers of `readiness.rules.sums` take
    them. `rests_on` is what the task and the register said then: where that has changed, the sums are
    to be done again.
    """

    class Topic(models.TextChoices):
        FALL = "fall", gettext_lazy("Fall")
        RESTRAINT = "restraint", gettext_lazy("Restraint")
        RESCUE = "rescue", gettext_lazy("Rescue")

    task = models.ForeignKey(Task, on_delete=models.PROTECT, related_name="sums")
    topic = models.CharField(max_length=12, choices=Topic)
    version = models.PositiveSmallIntegerField(default=1)
    figures = models.JSONField()
    product = models.ForeignKey(
        Product, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    anchor = models.ForeignKey(
        Item, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    rests_on = models.JSONField(default=dict, blank=True)
    made_on = models.DateField()
    made_at = models.DateTimeField()
    author = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = TaskSumsQuerySet.as_manager()

    class Meta:
        ordering = ["task", "topic", "-version"]
        constraints = [
            models.UniqueConstraint(fields=["task", "topic", "version"], name="sums_version_once"),
            models.CheckConstraint(condition=Q(version__gte=1), name="sums_version_from_one"),
        ]

    def __str__(self) -> str:
        return _("%(topic)s sums %(version)s of %(task)s") % {
            "topic": self.get_topic_display(),
            "version": self.version,
            "task": self.task,
        }

    @property
    def site_id(self) -> int:
        return self.task.site_id
