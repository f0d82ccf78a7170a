"""Forms that say what to do about an empty field, instead of only that it is required."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.functional import lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

_ASKING = (
    (forms.BooleanField, gettext_noop("Read “%(label)s” and tick it.")),
    (forms.FileField, gettext_noop("Choose a file under “%(label)s”.")),
    (forms.ChoiceField, gettext_noop("Choose one under “%(label)s”.")),
    (forms.ModelChoiceField, gettext_noop("Choose one under “%(label)s”.")),
    (forms.DateField, gettext_noop("Give the day under “%(label)s”.")),
    (forms.Field, gettext_noop("Fill in “%(label)s”.")),
)


def _asked(words: str, label: str) -> str:
    return _(words) % {"label": label}


_asked_later = lazy(_asked, str)


def ask_plainly(form: forms.BaseForm) -> None:
    """Give every field without a sentence of its own the one that names it and what to do."""
    for name, field in form.fields.items():
        bare = forms.Field.default_error_messages["required"]
        if field.error_messages["required"] == bare:
            words = next(words for kind, words in _ASKING if isinstance(field, kind))
            label = str(field.label or name.replace("_", " ").capitalize())
            field.error_messages["required"] = _asked_later(words, label)


class PlainForm(forms.Form):
    """A form whose empty fields say what to do."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ask_plainly(self)
