"""What people are trained to do, through which day, and when they are really there."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, gettext_noop

from register.models import Document, Person, Shift, Site, Zone
from register.wording import named, shown_day

FAMILIES = {
    "controlled descent": gettext_noop("Controlled descent"),
    "haul and lower": gettext_noop("Haul and lower"),
    "raise from shaft": gettext_noop("Raise from a shaft (tripod)"),
    "remote attach": gettext_noop("Remote attach pole set"),
    "evacuation descent": gettext_noop("Evacuation descent"),
}
FAMILY_CHOICES = tuple(FAMILIES.items())


def family_name(slug: str, otherwise: str = "") -> str:
    """'Haul and lower' ...; what is none of them is called otherwise."""
    return _(FAMILIES[slug]) if slug in FAMILIES else otherwise


class Competence(models.Model):
    """Rescue training on one family of kits, or first aid, in date through a day."""

    class Kind(models.TextChoices):
        RESCUER = "rescuer", gettext_lazy("Rescuer")
        FIRST_AID = "first aid", gettext_lazy("First aid")

    person = models.ForeignKey(
        Person,
        verbose_name=gettext_lazy("person"),
        on_delete=models.PROTECT,
        related_name="competences",
    )
    kind = models.CharField(gettext_lazy("kind"), max_length=12, choices=Kind)
    family = models.CharField(
        gettext_lazy("kit family"), max_length=40, choices=named(FAMILY_CHOICES), blank=True
    )
    from_on = models.DateField(gettext_lazy("valid from"))
    through_on = models.DateField(gettext_lazy("valid through"))
    provider = models.CharField(gettext_lazy("provider"), max_length=120, blank=True)
    evidence = models.ForeignKey(Document, null=True, blank=True, on_delete=models.PROTECT)

    class Meta:
        ordering = ["person", "kind", "family", "-through_on"]
        constraints = [
            models.CheckConstraint(
                condition=Q(through_on__gte=F("from_on")),
                name="competence_ends_after_it_begins",
                violation_error_message=gettext_lazy("It would end before it begins."),
            ),
            models.CheckConstraint(
                condition=Q(kind="rescuer", family__gt="") | Q(kind="first aid", family=""),
                name="rescuer_has_a_family",
                violation_error_message=gettext_lazy(
                    "A rescuer is trained on one family of kits; first aid has none."
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person}: {self.get_kind_display()} {self.family}".strip()


class RotaEntry(models.Model):
    """A person is at a site on one shift of one day, and starts from this zone; for all its hours
    unless the entry names the hour at which they come or go.

    Who is not on the rota is absent: nobody counts because they usually work here.
    """

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="rota")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="rota")
    day_on = models.DateField(gettext_lazy("day"), db_index=True)
    shift = models.ForeignKey(Shift, on_delete=models.PROTECT, related_name="rota")
    zone = models.ForeignKey(Zone, on_delete=models.PROTECT, related_name="rota")
    begins = models.TimeField(gettext_lazy("comes at"), null=True, blank=True)
    ends = models.TimeField(gettext_lazy("goes at"), null=True, blank=True)
    feed = models.ForeignKey(
        "RotaFeed",
        verbose_name=gettext_lazy("put on by a calendar"),
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="entries",
    )

    class Meta:
        ordering = ["day_on", "shift", "person"]
        verbose_name_plural = "rota entries"
        indexes = [models.Index(fields=["site", "shift", "day_on"], name="rota_of_a_shift")]
        constraints = [
            models.UniqueConstraint(
                fields=["person", "day_on", "shift"],
                name="one_place_a_shift",
                violation_error_message=gettext_lazy(
                    "This person is on the rota of that shift already."
                ),
            )
        ]

    def __str__(self) -> str:
        return f"{self.person}, {shown_day(self.day_on)}, {self.shift}"

    @property
    def own_hours(self) -> str:
        """Such as 'from 09:30'; nothing where they are there for the whole shift."""
        said = [f"from {self.begins:%H:%M}"] if self.begins else []
        return " ".join([*said, *([f"until {self.ends:%H:%M}"] if self.ends else [])])
