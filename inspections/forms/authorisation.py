"""The form by which a manager says who may inspect what, and until when."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.rules.kinds import KIND_CHOICES
from register.access import sites_for
from register.forms.asking import PlainForm
from register.forms.days import day_field
from register.models import Person, User
from register.rules.classes import CLASS_CHOICES
from register.wording import named


class AuthorisationForm(PlainForm):
    person = forms.ModelChoiceField(
        Person.objects.none(), label=gettext_lazy("Person"), empty_label=gettext_lazy("Choose")
    )
    classes = forms.MultipleChoiceField(
        label=gettext_lazy("Classes"),
        choices=named(CLASS_CHOICES),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("None chosen: every class."),
    )
    kinds = forms.MultipleChoiceField(
        label=gettext_lazy("Kinds of inspection"),
        choices=named(KIND_CHOICES),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("None chosen: every kind."),
    )
    from_on = day_field(gettext_lazy("From"))
    through_on = day_field(
        gettext_lazy("Through"),
        help_text=gettext_lazy("The last day on which a pass by this person counts."),
    )
    basis = forms.CharField(
        label=gettext_lazy("Evidence of competence"),
        max_length=120,
        help_text=gettext_lazy("Such as the course, its certificate and its date."),
    )
    independence = forms.CharField(
        label=gettext_lazy("Independence"),
        max_length=200,
        required=False,
        help_text=gettext_lazy(
            "Whose work they do not judge, and to whom they answer; with the right to scrap."
        ),
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
