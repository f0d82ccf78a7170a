"""The forms of the acts on one item that ask whether it is usable."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy

from register.forms.asking import PlainForm
from register.rules.classes import USE_CLASS_CHOICES
from register.wording import named


class ReleaseForm(PlainForm):
    """Nothing is typed to release: the pass on record is the evidence."""

    looked = forms.BooleanField(
        label=gettext_lazy("I have this item in my hands and its serial is the one above")
    )


class UseForm(PlainForm):
    """Under which conditions an item is used."""

    use_class = forms.ChoiceField(
        label=gettext_lazy("Conditions of use"), choices=named(USE_CLASS_CHOICES)
    )
