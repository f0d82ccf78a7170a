"""The forms of the acts on one item that ask whether it is usable."""

from __future__ import annotations

from django import forms

from register.forms.asking import PlainForm
from register.rules.classes import USE_CLASS_CHOICES


class ReleaseForm(PlainForm):
    """Nothing is typed to release: the pass on record is the evidence."""

    looked = forms.BooleanField(
        label="I have this item in my hands and its serial is the one above"
    )


class UseForm(PlainForm):
    """Under which conditions an item is used."""

    use_class = forms.ChoiceField(label="Conditions of use", choices=USE_CLASS_CHOICES)
