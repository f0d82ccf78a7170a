"""The stored copy of each item's governing clock, for lists only.

``inspections.conditions.clocks_of`` recomputes it; a test and ``manage.py check_due`` prove that
the two agree. An item without a row, or with no day in it, is not usable.
"""

from __future__ import annotations

from django.db import models

from register.models import Item


class Due(models.Model):
    """The last day through which every clock of the item is good, and the clock that governs.

    ``regime`` is the mark of the regime it was counted by; under another the copy says nothing.
    """

    item = models.OneToOneField(
        Item, on_delete=models.CASCADE, related_name="due", primary_key=True
    )
    last_good_on = models.DateField(null=True, db_index=True)
    clock = models.CharField(max_length=40)
    source = models.CharField(max_length=200, blank=True)
    regime = models.CharField(max_length=16, blank=True)

    class Meta:
        ordering = ["last_good_on"]

    def __str__(self) -> str:
        return f"{self.item_id}: {self.clock} {self.last_good_on}"


class Regime(models.Model):
    """The employer's choice of schemes and any shorter intervals; one row.

    ``shorter`` maps 'class/use class' (a '*' for any) to months, and may only shorten; so does
    ``anniversary_is_late``, which takes a day from every interval.
    """

    schemes = models.JSONField(default=list)
    shorter = models.JSONField(default=dict, blank=True)
    anniversary_is_late = models.BooleanField(default=False)

    def __str__(self) -> str:
        return ", ".join(self.schemes)
