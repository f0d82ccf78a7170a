"""The form that follows a calendar."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from readiness.intake.rota.fetching import NotFetched, checked
from readiness.intake.rota.wording import feed_told
from register.forms.asking import PlainForm
from register.models import Site, Zone


class FeedForm(PlainForm):
    """The address of a calendar, and from which zone its people start."""

    address = forms.CharField(
        label=gettext_lazy("Address of the calendar (.ics)"),
        max_length=500,
        widget=forms.URLInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
        help_text=gettext_lazy(
            "It begins with https://. Keep it as you would a password: who has it reads the calendar."
        ),
    )
    zone = forms.ModelChoiceField(
        Zone.objects.none(), label=gettext_lazy("Starting from"), empty_label=gettext_lazy("Choose")
    )

    def __init__(self, *args: Any, site: Site, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["zone"].queryset = Zone.objects.filter(site=site)  # type: ignore[attr-defined]

    def clean_address(self) -> str:
        address: str = self.cleaned_data["address"].strip()
        if address.startswith("webcal://"):
            address = f"https://{address.removeprefix('webcal://')}"
        try:
            checked(address)
        except NotFetched as reason:
            raise forms.ValidationError(feed_told(str(reason))) from reason
        return address
