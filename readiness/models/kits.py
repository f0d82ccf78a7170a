"""What each rescue kit can do, and when nobody can get at it."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy

from readiness.models.people import FAMILY_CHOICES
from register.models import Kit, Shift
from register.wording import named


class KitAbility(models.Model):
    """The family a rescuer must be trained on, what the kit does, and its limits (kg, m, J).

    Without key hours it can be got at round the clock, but for the shifts on which it is locked.
    """

    kit = models.OneToOneField(Kit, on_delete=models.PROTECT, related_name="ability")
    family = models.CharField(
        gettext_lazy("kit family"), max_length=40, choices=named(FAMILY_CHOICES)
    )
    lowers = models.BooleanField(gettext_lazy("lowers"), default=False)
    raises = models.BooleanField(gettext_lazy("raises"), default=False)
    attaches_remotely = models.BooleanField(gettext_lazy("attaches remotely"), default=False)
    max_load_kg = models.PositiveSmallIntegerField(gettext_lazy("rated load, most (kg)"))
    min_load_kg = models.PositiveSmallIntegerField(
        gettext_lazy("rated load, least (kg)"), default=0
    )
    max_height_m = models.FloatField(gettext_lazy("greatest height (m)"))
    descent_energy_j = models.FloatField(gettext_lazy("descent energy (J)"), null=True, blank=True)
    locked_shifts = models.ManyToManyField(
        Shift, blank=True, related_name="kits_locked", verbose_name=gettext_lazy("locked away on")
    )
    key_from = models.TimeField(gettext_lazy("key at hand from"), null=True, blank=True)
    key_until = models.TimeField(gettext_lazy("key at hand until"), null=True, blank=True)

    class Meta:
        verbose_name_plural = "kit abilities"
        constraints = [
            models.CheckConstraint(
                condition=Q(key_from=None, key_until=None)
                | (
                    Q(key_from__isnull=False, key_until__isnull=False) & ~Q(key_from=F("key_until"))
                ),
                name="key_hours_whole",
                violation_error_message=gettext_lazy(
                    "Give both hours of the key, one after the other, or neither."
                ),
            )
        ]

    def __str__(self) -> str:
        return f"{self.kit}: {self.family}"

    @property
    def functions(self) -> tuple[str, ...]:
        """The words of the cover rule for what the kit does."""
        said = {
            "lower": self.lowers,
            "raise": self.raises,
            "remote attach": self.attaches_remotely,
        }
        return tuple(word for word, able in said.items() if able)


class CoverPolicy(models.Model):
    """The employer's settings for rescue cover; one row. None of them is law."""

    plan_review_months = models.PositiveSmallIntegerField(default=12)
    drill_months = models.PositiveSmallIntegerField(default=12)
    share_within_minutes = models.PositiveSmallIntegerField(default=2)
    alarm_minutes = models.PositiveSmallIntegerField(default=1)
    first_aid_within_minutes = models.PositiveSmallIntegerField(default=10)
    restraint_allowance_m = models.FloatField(default=0.5)
    rescuer_kg = models.PositiveSmallIntegerField(default=100)
    swing_look_deg = models.PositiveSmallIntegerField(default=20)
    swing_most_deg = models.PositiveSmallIntegerField(default=30)

    def __str__(self) -> str:
        return "Policy of rescue cover"
