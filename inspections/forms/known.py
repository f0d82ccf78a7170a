"""The form that asks for a past moment."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.forms.asking import PlainForm


class KnownForm(PlainForm):
    """A moment on the site's own clock, not to come."""

    at = forms.DateTimeField(
        label=gettext_lazy("As known at"),
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        help_text=gettext_lazy("On the site’s clock."),
        error_messages={
            "required": gettext_lazy("Give a day and a time, such as 2026-03-09 12:00."),
            "invalid": gettext_lazy("Give a day and a time, such as 2026-03-09 12:00."),
        },
    )

    def __init__(self, *args: Any, place: ZoneInfo, now: datetime, **kwargs: Any) -> None:
        super().__init__(*args, initial={"at": now}, **kwargs)
        self.place, self.now = place, now

    def clean_at(self) -> datetime:
        """The minute to its end, read on the site's clock whatever the server's is."""
        told: datetime = self.cleaned_data["at"]
        moment = told.replace(second=59, microsecond=999_999, tzinfo=self.place)
        if moment.replace(second=0, microsecond=0) > self.now:
            raise forms.ValidationError(
                _("That moment is still to come: nobody knows what will be on record then.")
            )
        return moment
