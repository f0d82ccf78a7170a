"""The forms about people."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext_lazy

from register.access import sites_for
from register.forms.asking import PlainForm
from register.forms.days import DayInput
from register.models import Person, Site, User


class PersonForm(PlainForm):
    """Somebody new."""

    name = forms.CharField(label=pgettext_lazy("of a person", "Name"), max_length=120)
    employer = forms.CharField(label=gettext_lazy("Employer"), max_length=120, required=False)
    number = forms.CharField(
        label=gettext_lazy("Staff number"),
        max_length=40,
        required=False,
        help_text=gettext_lazy("Your own, so that a file about people can name them for sure."),
    )
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


class EraseForm(PlainForm):
    """The name typed as it stands, so that nobody is forgotten by a slip."""

    name = forms.CharField(label=gettext_lazy("Type the name to be forgotten"), max_length=120)

    def __init__(self, *args: Any, person: Person, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.person = person

    def clean_name(self) -> str:
        typed = " ".join(self.cleaned_data["name"].split())
        if typed != self.person.name:
            raise forms.ValidationError(
                _("That is not the name. Type it as it stands: %(name)s.")
                % {"name": self.person.name}
            )
        return typed
