"""The forms about users and their roles."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.access import may_everywhere, sites_for
from register.forms.asking import PlainForm
from register.models import Person, Role, Site, User


class RoleForm(PlainForm):
    """A role, at one site or, for who may give that, at every site."""

    role = forms.ChoiceField(
        label=gettext_lazy("Role"), choices=[("", gettext_lazy("Choose a role")), *Role.choices]
    )
    site = forms.ModelChoiceField(
        Site.objects.none(),
        label=gettext_lazy("Site"),
        required=False,
        empty_label=gettext_lazy("Every site"),
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        site: Any = self.fields["site"]
        site.queryset = sites_for(user, "role.give")
        if not may_everywhere(user, "role.give"):
            site.required, site.empty_label = True, _("Choose a site")


class NewUserForm(RoleForm):
    """Somebody who is to sign in: one of the people, or somebody new."""

    person = forms.ModelChoiceField(
        Person.objects.none(),
        label=gettext_lazy("One of the people"),
        required=False,
        empty_label=gettext_lazy("Somebody new, named below"),
    )
    name = forms.CharField(
        label=gettext_lazy("Or the name of somebody new"), max_length=120, required=False
    )
    employer = forms.CharField(
        label=gettext_lazy("Employer of somebody new"), max_length=120, required=False
    )
    username = forms.CharField(
        label=gettext_lazy("User name"),
        max_length=150,
        validators=[User.username_validator],
        widget=forms.TextInput(
            {"autocapitalize": "none", "autocomplete": "off", "spellcheck": "false"}
        ),
        help_text=gettext_lazy("What they type to sign in."),
    )
    field_order = ("person", "name", "employer", "username", "role", "site")

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, user=user, **kwargs)
        people: Any = self.fields["person"]
        people.queryset = Person.objects.visible_to(user).filter(user=None, left_on=None)

    def clean(self) -> dict[str, Any]:
        super().clean()
        if bool(self.cleaned_data.get("person")) == bool(self.cleaned_data.get("name")):
            self.add_error(
                "name", _("Choose one of the people, or name somebody new: one of the two.")
            )
        return self.cleaned_data
