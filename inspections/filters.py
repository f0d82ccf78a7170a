"""The filters of this app's lists."""

from __future__ import annotations

from datetime import date
from typing import Any

import django_filters as filters
from django.contrib.auth.models import AnonymousUser
from django.db.models import Q, QuerySet
from django.utils.translation import gettext_lazy

from inspections.conditions import in_date_on, overdue_on, usable_on
from inspections.regime import regime_in_force
from register.forms.days import DayInput
from register.models import Item, Site, User
from register.rules.classes import CLASS_CHOICES
from register.rules.conditions import CONDITION_CHOICES
from register.rules.serials import serial_key
from register.wording import named


class ItemFilter(filters.FilterSet):  # type: ignore[misc]
    """Which items: by what they are, where they are, and whether they can be used."""

    q = filters.CharFilter(label=gettext_lazy("Tag, serial or name"), method="of_text")
    equipment_class = filters.ChoiceFilter(
        label=gettext_lazy("Class"),
        field_name="product__equipment_class",
        choices=named(CLASS_CHOICES),
        empty_label=gettext_lazy("Every class"),
    )
    site = filters.ModelChoiceFilter(
        label=gettext_lazy("Site"),
        queryset=Site.objects.none(),
        to_field_name="code",
        empty_label=gettext_lazy("Every site"),
    )
    holder = filters.CharFilter(
        label=gettext_lazy("Held by"), field_name="holder__name", lookup_expr="icontains"
    )
    size = filters.CharFilter(label=gettext_lazy("Size"), lookup_expr="iexact")
    rating = filters.NumberFilter(
        label=gettext_lazy("Rated to at least (kg)"),
        field_name="product__max_user_kg",
        lookup_expr="gte",
    )
    length = filters.NumberFilter(
        label=gettext_lazy("Length at least (m)"), field_name="product__length_m", lookup_expr="gte"
    )
    edge = filters.ChoiceFilter(
        label=gettext_lazy("Edge"),
        field_name="product__edge_tested",
        choices=[("True", gettext_lazy("Tested over an edge"))],
        empty_label=gettext_lazy("Any"),
    )
    condition = filters.ChoiceFilter(
        label=gettext_lazy("Condition"),
        choices=named(CONDITION_CHOICES),
        empty_label=gettext_lazy("Every condition"),
    )
    usable = filters.ChoiceFilter(
        label=gettext_lazy("Use"),
        choices=[
            ("yes", gettext_lazy("Usable")),
            ("no", gettext_lazy("Not usable")),
            ("overdue", gettext_lazy("In service, out of date")),
        ],
        empty_label=gettext_lazy("Usable or not"),
        method="of_use",
    )
    good_on = filters.DateFilter(
        label=gettext_lazy("In date through"),
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
