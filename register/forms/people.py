"""The forms about people."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.utils.translation import gettext_lazy, pgettext_lazy

from register.access import sites_for
from register.forms.asking import PlainForm
from register.forms.days import DayInput
from register.models import Site, User


class PersonForm(PlainForm):
    """Somebody new."""

    name = forms.CharField(label=pgettext_lazy("of a person", "Name"), max_length=120)
    employer = forms.CharField(label=gettext_lazy("Employer"), max_length=120, required=False)
    home_site = forms.ModelChoiceField(
        Site.objects.none(),
        label=gettext_lazy("Home site"),
        required=False,
        empty_label=gettext_lazy("No one site"),
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["home_site"].queryset = sites_for(user, "person.edit")  # type: ignore[attr-defined]


class PersonChangeForm(PersonForm):
    """Somebody known, who may have left."""

    left_on = forms.DateField(
        label=gettext_lazy("Left on"),
        required=False,
        widget=DayInput(),
        help_text=gettext_lazy("The first day on which they are no longer here."),
    )
