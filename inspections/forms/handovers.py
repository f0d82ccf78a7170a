"""The form that signs a receipt: a name, and where somebody drew it, the strokes."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, gettext_noop

from register.forms.asking import PlainForm
from register.rules.strokes import NoStrokes, read_strokes

_TOLD = {
    "too-large": gettext_noop("This drawing is too large to keep. Clear it and sign in one go."),
    "not-a-drawing": gettext_noop("The drawing could not be read. Clear it and sign again."),
}


class SignForm(PlainForm):
    """The typed name is a signature by itself: nobody needs to draw."""

    name = forms.CharField(
        label=gettext_lazy("Name of who signs"),
        max_length=120,
        help_text=gettext_lazy("Typed, it stands for a signature. Drawing it below is up to you."),
    )
    strokes = forms.CharField(required=False, widget=forms.HiddenInput)

    def clean(self) -> dict[str, Any]:
        """A drawing that cannot be read is told above the form: its own field is hidden."""
        cleaned = super().clean() or {}
        try:
            cleaned["strokes"] = read_strokes(cleaned.get("strokes", ""))
        except NoStrokes as wrong:
            raise ValidationError(_(_TOLD[wrong.code])) from wrong
        return cleaned
