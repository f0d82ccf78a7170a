"""The form by which a manager says who may inspect what, and until when."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.db.models import Q
from django.utils.translation import gettext as _

from inspections.rules.kinds import KIND_CHOICES
from register.access import sites_for
from register.forms.asking import PlainForm
from register.forms.days import day_field
from register.models import Person, User
from register.rules.classes import CLASS_CHOICES


class AuthorisationForm(PlainForm):
    person = forms.ModelChoiceField(Person.objects.none(), label="Person", empty_label="Choose")
    classes = forms.MultipleChoiceField(
        label="Classes",
        choices=CLASS_CHOICES,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="None chosen: every class.",
    )
    kinds = forms.MultipleChoiceField(
        label="Kinds of inspection",
        choices=KIND_CHOICES,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="None chosen: every kind.",
    )
    from_on = day_field("From")
    through_on = day_field(
        "Through", help_text="The last day on which a pass by this person counts."
    )
    basis = forms.CharField(
        label="Evidence of competence",
        max_length=120,
        help_text="Such as the course, its certificate and its date.",
    )
    independence = forms.CharField(
        label="Independence",
        max_length=200,
        required=False,
        help_text="Whose work they do not judge, and to whom they answer; with the right to scrap.",
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, day: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        homes = sites_for(user, "authorisation.give")
        theirs = Person.objects.visible_to(user).here_on(day)
        theirs = theirs.filter(Q(home_site__in=homes) | Q(home_site=None))
        self.fields["person"].queryset = theirs  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        first, last = cleaned.get("from_on"), cleaned.get("through_on")
        if first and last and last < first:
            self.add_error("through_on", _("The last day comes before the first."))
        return cleaned
