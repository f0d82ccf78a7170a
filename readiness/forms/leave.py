"""The form that asks what a person's leave would uncover."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.forms.days import day_field
from register.models import Person

MOST_DAYS = 62
"""Two months at once, as on the rota."""


class LeaveForm(forms.Form):
    """Who, and the first and the last day of leave."""

    person = forms.ModelChoiceField(Person.objects.none(), label=gettext_lazy("Who"))
    from_on = day_field(gettext_lazy("First day off"))
    to_on = day_field(gettext_lazy("Last day off"))

    def __init__(self, *args: Any, people: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["person"].queryset = people  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        found = super().clean() or {}
        first, last = found.get("from_on"), found.get("to_on")
        if first and last and last < first:
            self.add_error("to_on", _("The last day comes before the first."))
        elif first and last and (last - first).days >= MOST_DAYS:
            self.add_error(
                "to_on", _("At most %(MOST_DAYS)s days at once.") % {"MOST_DAYS": MOST_DAYS}
            )
        return found
