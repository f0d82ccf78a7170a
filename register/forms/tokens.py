"""The form of a token for another system: only what its owner may do now, at their own sites."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.access import may
from register.forms.asking import PlainForm
from register.forms.days import day_field
from register.models import Site, User
from register.rules.tokens import MOST_DAYS, TOKEN_NEEDS
from register.wording import named


class TokenForm(PlainForm):
    """What it is for, what it may do, where, and its last day."""

    name = forms.CharField(
        label=gettext_lazy("What it is for"),
        max_length=60,
        help_text=gettext_lazy("The system that will use it, such as ‘Display in the stores’."),
    )
    needs = forms.MultipleChoiceField(
        label=gettext_lazy("What it may do"),
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy(
            "As little as that system needs. What you may not do, it cannot either."
        ),
    )
    sites = forms.ModelMultipleChoiceField(
        Site.objects.none(),
        label=gettext_lazy("Where"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("Not needed where it is for every site."),
    )
    every_site = forms.BooleanField(
        label=gettext_lazy("At every site of mine, also those that come later"), required=False
    )
    through_on = day_field(gettext_lazy("Last day"))

    def __init__(self, *args: Any, user: User, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        needs: Any = self.fields["needs"]
        needs.choices = [one for one in named(TOKEN_NEEDS.items()) if may(user, one[0])]
        sites: Any = self.fields["sites"]
        sites.queryset = Site.objects.visible_to(user)
        last: Any = self.fields["through_on"]
        last.initial = today + timedelta(days=MOST_DAYS - 1)

    def clean(self) -> dict[str, Any]:
        """Nothing ticked is no answer: a token for everywhere is asked for in so many words."""
        super().clean()
        if bool(self.cleaned_data.get("sites")) == self.cleaned_data.get("every_site", False):
            words = _("Tick the sites, or that it is for every one: one of the two.")
            self.add_error("sites", words)
        return self.cleaned_data
