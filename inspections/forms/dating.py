"""The forms of the facts that start or end clocks."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from inspections.actions.dating import ITEM_FACTS, LIMITS
from register.forms.asking import PlainForm
from register.forms.days import day_field
from register.models import Item, Product, Zone

MOST_MONTHS = 600


def months_field(label: str, help_text: str = "") -> forms.IntegerField:
    return forms.IntegerField(
        label=label, required=False, min_value=1, max_value=MOST_MONTHS, help_text=help_text
    )


class ItemDatesForm(PlainForm):
    """What only this item has; an anchor is asked how often its fixing is tested."""

    first_used_on = day_field(
        gettext_lazy("First used on"),
        required=False,
        help_text=gettext_lazy(
            "Blank only where it was never used; its life then runs from manufacture."
        ),
    )
    owner = forms.CharField(
        label=gettext_lazy("Owner, if hired in"), max_length=120, required=False
    )
    hire_end_on = day_field(
        gettext_lazy("Hire ends on"),
        required=False,
        help_text=gettext_lazy("The last day on which it may be used here."),
    )
    proof_test_months = months_field(
        gettext_lazy("Months between proof tests"),
        gettext_lazy(
            "As its base material and the designer of the fixing ask. Blank where nobody asks."
        ),
    )
    because = forms.CharField(
        label=gettext_lazy("Where this is known from"),
        max_length=200,
        help_text=gettext_lazy("Such as: hire note 4471."),
    )

    def __init__(self, *args: Any, item: Item, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ITEM_FACTS:
            self.fields[name].initial = getattr(item, name)
        if not item.product.kind.is_anchor:
            del self.fields["proof_test_months"]

    def told(self) -> dict[str, Any]:
        return {"proof_test_months": None, **self.cleaned_data}


class PutUpForm(PlainForm):
    """Where an anchor or a line is put up, and since when."""

    put_up_on = day_field(
        gettext_lazy("Put up on"),
        help_text=gettext_lazy("What was found before that day was found somewhere else."),
    )
    zone = forms.ModelChoiceField(
        Zone.objects.none(), label=gettext_lazy("Zone"), empty_label=gettext_lazy("Choose a zone")
    )
    place = forms.CharField(
        label=gettext_lazy("Exact place"),
        max_length=120,
        help_text=gettext_lazy("Such as: AN-4, roof edge left of the hatch."),
    )

    def __init__(self, *args: Any, item: Item, day: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["zone"].queryset = Zone.objects.filter(site=item.site_id)  # type: ignore[attr-defined]
        self.fields["put_up_on"].initial = day
        self.fields["zone"].initial = item.zone_id
        self.fields["place"].initial = item.place


class LimitsForm(PlainForm):
    """What the maker's instructions say, in whole months; blank where they say nothing."""

    periodic_months = months_field(gettext_lazy("Months between examinations"))
    service_months = months_field(gettext_lazy("Months between services by the maker"))
    life_from_made_months = months_field(gettext_lazy("Life from manufacture, months"))
    life_from_first_use_months = months_field(gettext_lazy("Life from first use, months"))
    storage_months = months_field(gettext_lazy("Storage before first use, months"))
    because = forms.CharField(
        label=gettext_lazy("Where the maker says so"),
        max_length=200,
        help_text=gettext_lazy("Such as: instructions 08/2024, page 12."),
    )

    def __init__(self, *args: Any, product: Product, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in LIMITS:
            self.fields[name].initial = getattr(product, name)

    def limits(self) -> dict[str, int | None]:
        return {name: self.cleaned_data[name] for name in LIMITS}
