"""The forms about what phones sent."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy

from register.forms.asking import PlainForm


class DropEventForm(PlainForm):
    """Why what was sent is not done."""

    because = forms.CharField(label=gettext_lazy("Why it is dropped"), max_length=200)


class QueueForm(PlainForm):
    """A saved queue."""

    queue = forms.FileField(
        label=gettext_lazy("The file that the phone saved"),
        help_text=gettext_lazy("Sending it twice does no harm: each event is taken once."),
    )
