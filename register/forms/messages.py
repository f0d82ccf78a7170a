"""Where one is written to, about what, and when the employer's morning is."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings
from django.utils.translation import gettext_lazy

from register.forms.asking import PlainForm
from register.models import MessageTerms
from register.rules.message_kinds import KINDS
from register.wording import named


class LetterForm(PlainForm):
    """In which language letters are; each stands by its own name for itself."""

    language = forms.ChoiceField(label=gettext_lazy("Language of the messages"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        language: Any = self.fields["language"]
        language.choices = settings.LANGUAGES


class AddressForm(LetterForm):
    address = forms.EmailField(
        label=gettext_lazy("E-mail address"),
        widget=forms.EmailInput({"autocomplete": "email"}),
        help_text=gettext_lazy("A letter goes there with a link that confirms it."),
    )
    field_order = ("address", "language")


class KindsForm(LetterForm):
    """The kinds that one wants; those without a tick are left."""

    kinds = forms.MultipleChoiceField(
        label=gettext_lazy("Send me"),
        choices=named((slug, kind.name) for slug, kind in KINDS.items()),
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    field_order = ("kinds", "language")

    def left(self) -> list[str]:
        return [slug for slug in KINDS if slug not in self.cleaned_data["kinds"]]


class MessageTermsForm(forms.ModelForm):
    class Meta:
        model = MessageTerms
        fields = ["morning_hour"]
        labels = {"morning_hour": gettext_lazy("Hour of the morning, by the clock of the site")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["morning_hour"].help_text = gettext_lazy(
            "0 to 12. Where nothing ran then, the messages are made up to six hours later."
        )
