"""The forms at the inspector's bench: the round, and what is said beside a verdict."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.rules.kinds import KIND_CHOICES
from register.access import sites_for
from register.forms.asking import PlainForm
from register.forms.days import day_field
from register.models import Site, User
from register.wording import named, shown_day

# What a verdict must say beside itself; the others may.
NEEDS_A_DEFECT = frozenset({"fail", "refer"})
NEEDS_A_NOTE = frozenset({"not-identified"})


class RoundForm(PlainForm):
    """Where, and what kind of inspection; asked once and kept for the round."""

    site = forms.ModelChoiceField(
        Site.objects.none(), label=gettext_lazy("Site"), to_field_name="code", empty_label=None
    )
    kind = forms.ChoiceField(
        label=gettext_lazy("Kind of inspection"), choices=named(KIND_CHOICES), initial="detailed"
    )
    covers_periodic = forms.BooleanField(
        label=gettext_lazy("I follow the maker’s periodic examination procedure"),
        required=False,
        help_text=gettext_lazy(
            "With this tick a thorough examination restarts the periodic clock too, and so does"
            " a maker’s service whose certificate says so."
        ),
    )
    code = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["site"].queryset = sites_for(user, "inspection.record")  # type: ignore[attr-defined]


class FindingForm(PlainForm):
    """What an inspector says beside a verdict that is not a plain pass."""

    good_until_on = day_field(
        gettext_lazy("Good until"),
        required=False,
        help_text=gettext_lazy("Only where that is sooner than the next due day."),
    )
    restricted_to = forms.CharField(
        label=gettext_lazy("Only for"),
        required=False,
        max_length=60,
        help_text=gettext_lazy("The one use it is left for, such as: restraint."),
    )
    note = forms.CharField(
        label=gettext_lazy("Note"),
        required=False,
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args: Any, verdict: str, day: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.verdict, self.day = verdict, day
        if verdict != "pass-with-conditions":
            del self.fields["good_until_on"], self.fields["restricted_to"]
        self.fields["note"].required = verdict in NEEDS_A_NOTE
        if verdict in NEEDS_A_NOTE:
            self.fields["note"].label = _("What the label and the item show")
            self.fields["note"].error_messages["required"] = _("Say what the label shows.")

    def clean_good_until_on(self) -> date | None:
        until: date | None = self.cleaned_data["good_until_on"]
        if until and until < self.day:
            raise forms.ValidationError(
                _("%(day)s has passed. Give a day to come, or fail the item.")
                % {"day": shown_day(until)}
            )
        return until
