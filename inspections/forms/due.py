"""Which site and how many weeks the due list shows."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.utils.translation import gettext_lazy

from register.access import sites_for
from register.forms.asking import PlainForm
from register.models import Site, User

WEEKS = 12
MOST_WEEKS = 53


class DueForm(PlainForm):
    site = forms.ModelChoiceField(
        Site.objects.none(),
        label=gettext_lazy("Site"),
        required=False,
        to_field_name="code",
        empty_label=gettext_lazy("Every site"),
        error_messages={
            "invalid_choice": gettext_lazy("This is none of your sites. Choose one from the list.")
        },
    )
    weeks = forms.IntegerField(
        label=gettext_lazy("Weeks"), required=False, min_value=1, max_value=MOST_WEEKS
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["site"].queryset = sites_for(user, "due.see")  # type: ignore[attr-defined]

    def clean_weeks(self) -> int:
        return self.cleaned_data["weeks"] or WEEKS
