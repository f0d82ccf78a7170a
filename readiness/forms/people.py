"""Tickets and the rota."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from django import forms
from django.db.models import Q, QuerySet
from django.utils.translation import gettext_lazy

from readiness.models import Competence
from register.forms.days import DayInput
from register.models import Person, Site, Zone
from register.wording import shown_day


def people_of(site: Site, day: date) -> QuerySet[Person]:
    """Those who belong to the site or to none, and those who were ever on its rota."""
    known = Q(home_site=site) | Q(home_site=None) | Q(rota__site=site)
    return Person.objects.filter(known).here_on(day).distinct().order_by("name")


class CompetenceForm(forms.ModelForm[Competence]):
    class Meta:
        model = Competence
        fields = ["person", "kind", "family", "from_on", "through_on", "provider"]
        widgets = {"from_on": DayInput(), "through_on": DayInput()}
        help_texts = {
            "family": gettext_lazy(
                "For a rescuer: the family of kits trained on. Leave it for first aid."
            )
        }

    def __init__(self, *args: Any, people: QuerySet[Person], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["person"].queryset = people  # type: ignore[attr-defined]


class RotaForm(forms.Form):
    """People × days of one week on one shift."""

    people = forms.ModelMultipleChoiceField(
        Person.objects.none(), widget=forms.CheckboxSelectMultiple, label=gettext_lazy("Who")
    )
    days = forms.TypedMultipleChoiceField(
        coerce=date.fromisoformat, widget=forms.CheckboxSelectMultiple, label=gettext_lazy("Days")
    )
    zone = forms.ModelChoiceField(Zone.objects.none(), label=gettext_lazy("Starting from"))
    comes_at = forms.TimeField(
        required=False,
        widget=forms.TimeInput({"type": "time"}),
        label=gettext_lazy("Comes at"),
        help_text=gettext_lazy("Only if later than the shift begins."),
    )
    goes_at = forms.TimeField(
        required=False,
        widget=forms.TimeInput({"type": "time"}),
        label=gettext_lazy("Goes at"),
        help_text=gettext_lazy("Only if earlier than the shift ends."),
    )

    def __init__(
        self, *args: Any, site: Site, monday: date, people: QuerySet[Person], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        week = [monday + timedelta(days=offset) for offset in range(7)]
        self.fields["days"].choices = [  # type: ignore[attr-defined]
            (day.isoformat(), shown_day(day, "WEEKDAY")) for day in week
        ]
        self.fields["zone"].queryset = Zone.objects.filter(site=site)  # type: ignore[attr-defined]
        self.fields["people"].queryset = people  # type: ignore[attr-defined]

    @property
    def said(self) -> dict[str, Any]:
        """Who, when and from where, in the words of the action."""
        given = self.cleaned_data
        return {
            "people": list(given["people"]),
            "days": given["days"],
            "zone": given["zone"],
            "own_hours": (given["comes_at"], given["goes_at"]),
        }

    def tell_training(self, words: Mapping[int, str]) -> None:
        """Beside each name what the person is trained on; those who can rescue stand first."""
        rows = sorted(
            self.fields["people"].queryset,  # type: ignore[attr-defined]
            key=lambda one: words.get(one.pk, "") in {"", Competence.Kind.FIRST_AID.label},
        )
        self.fields["people"].choices = [  # type: ignore[attr-defined]
            (one.pk, f"{one} – {words[one.pk]}" if one.pk in words else str(one)) for one in rows
        ]
