"""The form of the employer's regime: schemes, and own intervals one at a time."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from inspections.models import Regime
from inspections.regime import scheme, scheme_slugs
from inspections.regime_wording import own_interval_words
from register.forms.asking import PlainForm
from register.rules.classes import CLASS_CHOICES, USE_CLASS_CHOICES
from register.wording import named

ANY_CLASS = ("*", gettext_lazy("Every class"))
ANY_USE = ("*", gettext_lazy("All conditions of use"))


class RegimeForm(PlainForm):
    """``shorter()`` is what the own intervals are to be afterwards."""

    schemes = forms.MultipleChoiceField(
        label=gettext_lazy("Schemes that apply"),
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("Where several apply, the shortest interval of all counts."),
        error_messages={
            "required": gettext_lazy("Choose at least one scheme: without one nothing is in date.")
        },
    )
    kept = forms.MultipleChoiceField(
        label=gettext_lazy("Own shorter intervals that stand"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("Take the tick away to end one."),
    )
    anniversary_is_late = forms.BooleanField(
        label=gettext_lazy("The day on which an interval ends is already too late"), required=False
    )
    equipment_class = forms.ChoiceField(
        label=gettext_lazy("A shorter interval of your own: class"),
        choices=[ANY_CLASS, *named(CLASS_CHOICES)],
    )
    use_class = forms.ChoiceField(
        label=gettext_lazy("Conditions of use"), choices=[ANY_USE, *named(USE_CLASS_CHOICES)]
    )
    months = forms.IntegerField(
        label=gettext_lazy("Months"),
        required=False,
        min_value=1,
        max_value=120,
        help_text=gettext_lazy("Blank adds none."),
    )

    def __init__(self, *args: Any, regime: Regime, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.standing: dict[str, int] = dict(regime.shorter)
        named = sorted((scheme(slug).name, slug) for slug in scheme_slugs())
        self.fields["schemes"].choices = [(slug, name) for name, slug in named]  # type: ignore[attr-defined]
        self.fields["schemes"].initial = regime.schemes
        self.fields["anniversary_is_late"].initial = regime.anniversary_is_late
        self.fields["kept"].choices = [  # type: ignore[attr-defined]
            (key, own_interval_words(key, months)) for key, months in self.standing.items()
        ]
        self.fields["kept"].initial = list(self.standing)
        if not self.standing:
            del self.fields["kept"]

    def regime(self) -> dict[str, Any]:
        """What the regime is to be afterwards."""
        told = self.cleaned_data
        return {
            "schemes": told["schemes"],
            "shorter": self.shorter(),
            "anniversary_is_late": told["anniversary_is_late"],
        }

    def shorter(self) -> dict[str, int]:
        told = self.cleaned_data
        found = {key: self.standing[key] for key in told.get("kept", [])}
        if told["months"]:
            found[f"{told['equipment_class']}/{told['use_class']}"] = told["months"]
        return found
