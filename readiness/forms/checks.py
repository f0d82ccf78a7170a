"""Which hours of a task an answer is kept for."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from readiness.models import Task
from register.forms.days import DayInput


class CheckForm(forms.Form):
    on = forms.DateField(label=gettext_lazy("Day"), widget=DayInput())
    shift: forms.ModelChoiceField[Any] = forms.ModelChoiceField(
        label=gettext_lazy("Shift"), queryset=None
    )
    permit_reference = forms.CharField(
        label=gettext_lazy("Reference on the permit to work"),
        max_length=60,
        required=False,
        help_text=gettext_lazy("As it stands on the permit. No names, please."),
    )

    def __init__(self, *args: Any, task: Task, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["shift"].queryset = task.shifts.order_by("begins")  # type: ignore[attr-defined]
