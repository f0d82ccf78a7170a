"""The filters of this app's lists."""

from __future__ import annotations

from datetime import date
from typing import Any

import django_filters as filters
from django.contrib.auth.models import AnonymousUser
from django.db.models import Q, QuerySet

from inspections.conditions import in_date_on, overdue_on, usable_on
from inspections.regime import regime_in_force
from register.forms.days import DayInput
from register.models import Item, Site, User
from register.rules.classes import CLASS_CHOICES
from register.rules.conditions import CONDITION_CHOICES
from register.rules.serials import serial_key


class ItemFilter(filters.FilterSet):  # type: ignore[misc]
    """Which items: by what they are, where they are, and whether they can be used."""

    q = filters.CharFilter(label="Tag, serial or name", method="of_text")
    equipment_class = filters.ChoiceFilter(
        label="Class",
        field_name="product__equipment_class",
        choices=CLASS_CHOICES,
        empty_label="Every class",
    )
    site = filters.ModelChoiceFilter(
        label="Site", queryset=Site.objects.none(), to_field_name="code", empty_label="Every site"
    )
    holder = filters.CharFilter(label="Held by", field_name="holder__name", lookup_expr="icontains")
    size = filters.CharFilter(label="Size", lookup_expr="iexact")
    rating = filters.NumberFilter(
        label="Rated to at least (kg)", field_name="product__max_user_kg", lookup_expr="gte"
    )
    length = filters.NumberFilter(
        label="Length at least (m)", field_name="product__length_m", lookup_expr="gte"
    )
    edge = filters.ChoiceFilter(
        label="Edge",
        field_name="product__edge_tested",
        choices=[("True", "Tested over an edge")],
        empty_label="Any",
    )
    condition = filters.ChoiceFilter(
        label="Condition", choices=CONDITION_CHOICES, empty_label="Every condition"
    )
    usable = filters.ChoiceFilter(
        label="Use",
        choices=[("yes", "Usable"), ("no", "Not usable"), ("overdue", "In service, out of date")],
        empty_label="Usable or not",
        method="of_use",
    )
    good_on = filters.DateFilter(
        label="In date through",
        widget=DayInput(),
        method="of_day",
    )

    class Meta:
        model = Item
        fields: list[str] = []

    def __init__(self, *args: Any, user: User | AnonymousUser, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.filters["site"].queryset = Site.objects.visible_to(user)

    def of_text(self, rows: QuerySet[Item], _name: str, text: str) -> QuerySet[Item]:
        """A part of a serial in any spelling, of the product's name or of the holder's."""
        words = text.strip()
        found = (
            Q(product__maker__icontains=words)
            | Q(product__designation__icontains=words)
            | Q(holder__name__icontains=words)
        )
        if key := serial_key(words):
            found |= Q(serial_key__contains=key)
        return rows.filter(found)

    def of_day(self, rows: QuerySet[Item], _name: str, day: date) -> QuerySet[Item]:
        return rows.filter(in_date_on(day, regime_in_force().mark))

    def of_use(self, rows: QuerySet[Item], _name: str, use: str) -> QuerySet[Item]:
        """Usable today and, where a day is given, through that day; or not so."""
        day = max(self.today, self.form.cleaned_data.get("good_on") or self.today)
        if use == "overdue":
            return rows.filter(overdue_on(self.today))
        return rows.filter(usable_on(day)) if use == "yes" else rows.exclude(usable_on(day))
