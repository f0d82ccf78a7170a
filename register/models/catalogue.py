"""Products: what a maker says of every piece of one model."""

from __future__ import annotations

from django.contrib.auth.models import AnonymousUser
from django.db import models
from django.utils.translation import gettext_lazy

from register.models.people import User
from register.rules.classes import CLASS_CHOICES, CLASSES, EquipmentClass
from register.wording import class_name, named


class ProductQuerySet(models.QuerySet["Product"]):
    def visible_to(self, user: User | AnonymousUser) -> ProductQuerySet:
        """Those of which the user sees a piece; who sees every site sees them all."""
        if isinstance(user, AnonymousUser) or not user.holdings:
            return self.none()
        if user.sees_all_sites:
            return self
        return self.filter(items__site__in=user.site_ids).distinct()


class Product(models.Model):
    """One maker's model. Blank limits mean 'the maker states none' and never lengthen anything."""

    maker = models.CharField(max_length=80)
    designation = models.CharField(gettext_lazy("model"), max_length=80)
    equipment_class = models.CharField(
        gettext_lazy("class"), max_length=30, choices=named(CLASS_CHOICES)
    )
    standards = models.CharField(max_length=120, blank=True)
    max_user_kg = models.PositiveSmallIntegerField(
        gettext_lazy("rated to (kg)"), null=True, blank=True
    )
    min_user_kg = models.PositiveSmallIntegerField(
        gettext_lazy("rated from (kg)"), null=True, blank=True
    )
    length_m = models.DecimalField(
        gettext_lazy("length (m)"), max_digits=6, decimal_places=2, null=True, blank=True
    )
    edge_tested = models.BooleanField(gettext_lazy("tested over an edge"), default=False)
    periodic_months = models.PositiveSmallIntegerField(
        gettext_lazy("maker: months between examinations"), null=True, blank=True
    )
    service_months = models.PositiveSmallIntegerField(
        gettext_lazy("maker: months between services"), null=True, blank=True
    )
    life_from_made_months = models.PositiveSmallIntegerField(
        gettext_lazy("maker: life from manufacture (months)"), null=True, blank=True
    )
    life_from_first_use_months = models.PositiveSmallIntegerField(
        gettext_lazy("maker: life from first use (months)"), null=True, blank=True
    )
    storage_months = models.PositiveSmallIntegerField(
        gettext_lazy("maker: storage before first use (months)"), null=True, blank=True
    )
    reject_after_arrest = models.BooleanField(
        gettext_lazy("finished once it has arrested a fall"), default=True
    )

    objects = ProductQuerySet.as_manager()

    class Meta:
        ordering = ["maker", "designation"]
        constraints = [
            models.UniqueConstraint(fields=["maker", "designation"], name="product_once"),
        ]

    def __str__(self) -> str:
        return f"{self.maker} {self.designation}"

    @property
    def kind_name(self) -> str:
        """'Harness', 'Low-stretch rope' ..., in the reader's language."""
        return class_name(self.equipment_class)

    @property
    def kind(self) -> EquipmentClass:
        """The class with all that its line in the table says."""
        return CLASSES[self.equipment_class]
