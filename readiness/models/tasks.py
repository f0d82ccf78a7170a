"""Tasks that rely on fall protection, their rescue plans and the drills of those plans."""

from __future__ import annotations

from datetime import date

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.models import Item, Kit, Person, Shift, Site, User, Zone
from register.wording import shown_day, shown_number


class TaskQuerySet(models.QuerySet["Task"]):
    def visible_to(self, user: User | AnonymousUser) -> TaskQuerySet:
        return self.filter(site__in=Site.objects.visible_to(user))

    def open_on(self, day: date) -> TaskQuerySet:
        """Those whose dates include the day."""
        return self.filter(from_on__lte=day, to_on__gte=day)


class Task(models.Model):
    """Work at height in one zone, from a day through a day, on named shifts. Blank means unknown,
    and what must be known but is not keeps the task from being assessed."""

    class System(models.TextChoices):
        ARREST = "arrest", gettext_lazy("Fall arrest, work positioning or rope access")
        RESTRAINT = "restraint", gettext_lazy("Restraint")
        COLLECTIVE = "collective", gettext_lazy("Collective protection (rail, deck, platform)")

    class Recovery(models.TextChoices):
        LOWER = "lower", gettext_lazy("Down")
        RAISE = "raise", gettext_lazy("Up")
        BOTH = "both", gettext_lazy("Up and then down")
        EITHER = "either", gettext_lazy("Up or down")

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="tasks")
    zone = models.ForeignKey(
        Zone, verbose_name=gettext_lazy("zone"), on_delete=models.PROTECT, related_name="tasks"
    )
    code = models.SlugField(gettext_lazy("code"), max_length=20)
    name = models.CharField(gettext_lazy("what is done"), max_length=120)
    from_on = models.DateField(gettext_lazy("first day"))
    to_on = models.DateField(gettext_lazy("last day"))
    shifts = models.ManyToManyField(Shift, related_name="tasks")
    system = models.CharField(gettext_lazy("protected by"), max_length=12, choices=System)
    heaviest_kg = models.PositiveSmallIntegerField(
        gettext_lazy("heaviest person with tools (kg)"), null=True, blank=True
    )
    lightest_kg = models.PositiveSmallIntegerField(
        gettext_lazy("lightest person with tools (kg)"), null=True, blank=True
    )
    recovery = models.CharField(
        gettext_lazy("way to safety"), max_length=8, choices=Recovery, blank=True, default=""
    )
    remote_attach = models.BooleanField(
        gettext_lazy("the casualty cannot be reached by hand"), default=False
    )
    lower_m = models.FloatField(gettext_lazy("height to lower (m)"), null=True, blank=True)
    raise_m = models.FloatField(gettext_lazy("height to raise (m)"), null=True, blank=True)
    stranded = models.PositiveSmallIntegerField(
        gettext_lazy("could be stranded"), null=True, blank=True
    )
    clearance_required_m = models.FloatField(
        gettext_lazy("clearance needed (m)"), null=True, blank=True
    )
    clearance_available_m = models.FloatField(
        gettext_lazy("clearance there is (m)"), null=True, blank=True
    )
    restraint_reach_m = models.FloatField(
        gettext_lazy("restraint: longest reach (m)"), null=True, blank=True
    )
    restraint_deflection_m = models.FloatField(
        gettext_lazy("restraint: line deflection (m)"), null=True, blank=True
    )
    restraint_edge_m = models.FloatField(
        gettext_lazy("restraint: distance to edge (m)"), null=True, blank=True
    )
    rescue_anchors = models.ManyToManyField(Item, blank=True, related_name="rescue_tasks")
    first_call = models.PositiveSmallIntegerField(
        gettext_lazy("first call (1 goes first)"), null=True, blank=True
    )

    objects = TaskQuerySet.as_manager()

    class Meta:
        ordering = ["site", "code"]
        constraints = [
            models.UniqueConstraint(fields=["site", "code"], name="task_once_a_site"),
            models.UniqueConstraint(
                fields=["site", "first_call"],
                name="first_call_once_a_site",
                violation_error_message=gettext_lazy(
                    "Another task of this site has this place already."
                ),
            ),
            models.CheckConstraint(
                condition=Q(to_on__gte=F("from_on")),
                name="task_ends_after_it_begins",
                violation_error_message=gettext_lazy("The last day comes before the first."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"

    def get_absolute_url(self) -> str:
        return reverse("readiness:task-detail", args=[self.site.code, self.code])


class Exposure(models.Model):
    """A person who may be hanging on this task; on one shift, or on all of the task's shifts."""

    task = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="exposures")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="exposures")
    shift = models.ForeignKey(Shift, null=True, blank=True, on_delete=models.PROTECT)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["task", "person", "shift"], name="exposed_once_a_shift"
            ),
            models.UniqueConstraint(
                fields=["task", "person"],
                condition=Q(shift=None),
                name="exposed_once_on_all_shifts",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person} on {self.task}"


class Plan(models.Model):
    """One version of a task's rescue plan; the newest version stands."""

    task = models.ForeignKey(Task, on_delete=models.PROTECT, related_name="plans")
    version = models.PositiveSmallIntegerField(default=1)
    method = models.CharField(gettext_lazy("how the casualty is brought to safety"), max_length=200)
    steps = models.TextField(gettext_lazy("its steps, one a line"), max_length=1500, blank=True)
    matches_task = models.BooleanField(gettext_lazy("fits how the task is done now"), default=True)
    relies_on_emergency_services = models.BooleanField(
        gettext_lazy("the method is to call the emergency services"), default=False
    )
    reviewed_on = models.DateField(gettext_lazy("reviewed on"))
    min_rescuers = models.PositiveSmallIntegerField(gettext_lazy("rescuers needed"), default=1)
    target_minutes = models.PositiveSmallIntegerField(gettext_lazy("target (minutes)"))
    mutual_rescue = models.BooleanField(
        gettext_lazy("those exposed may rescue one another"), default=False
    )
    accompanied = models.BooleanField(
        gettext_lazy("a rescuer descends with the casualty"), default=False
    )
    stop_work = models.BooleanField(gettext_lazy("other work stops during a rescue"), default=False)
    author = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["task", "-version"]
        constraints = [
            models.UniqueConstraint(fields=["task", "version"], name="plan_version_once"),
            models.CheckConstraint(
                condition=Q(min_rescuers__gte=1, target_minutes__gte=1),
                name="plan_needs_a_rescuer_and_a_minute",
                violation_error_message=gettext_lazy("At least one rescuer and one minute."),
            ),
        ]

    def __str__(self) -> str:
        return _("Plan %(version)s of %(task)s") % {"version": self.version, "task": self.task}

    @property
    def site_id(self) -> int:
        return self.task.site_id

    @property
    def step_lines(self) -> tuple[str, ...]:
        return tuple(line.strip() for line in self.steps.splitlines() if line.strip())


class Drill(models.Model):
    """A practised rescue: the minutes run from the kit at the place to the casualty at safety."""

    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, related_name="drills")
    drilled_on = models.DateField()
    minutes = models.FloatField()
    kit = models.ForeignKey(
        Kit, null=True, blank=True, on_delete=models.PROTECT, related_name="drills"
    )
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["-drilled_on", "-pk"]

    def __str__(self) -> str:
        return f"{shown_day(self.drilled_on)}, {shown_number(self.minutes)} min"
