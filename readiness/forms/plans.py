"""Rescue plans and their drills."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from readiness.models import Plan
from register.forms.days import DayInput
from register.forms.figures import FigureField
from register.models import Kit

MOST_STEPS = 10
LONGEST_STEP = 140


class PlanForm(forms.ModelForm[Plan]):
    class Meta:
        model = Plan
        fields = [
            *("method", "steps", "matches_task", "relies_on_emergency_services", "reviewed_on"),
            *("min_rescuers", "target_minutes", "mutual_rescue", "accompanied", "stop_work"),
        ]
        widgets = {
            "reviewed_on": DayInput(),
            "method": forms.Textarea(attrs={"rows": 3}),
            "steps": forms.Textarea(attrs={"rows": 6}),
        }
        help_texts = {
            "steps": gettext_lazy(
                "As they are shouted on the day, about six: they stand on the sheet on the cabin wall."
            ),
            "relies_on_emergency_services": gettext_lazy(
                "Emergency services are told, not relied on: such a plan never gives cover."
            ),
            "target_minutes": gettext_lazy(
                "Your employer’s target, not law; the law says promptly. No time in suspension is"
                " known to be safe."
            ),
            "mutual_rescue": gettext_lazy(
                "Then one rescuer more is needed, so that whoever hangs, enough remain."
            ),
            "stop_work": gettext_lazy(
                "Only then may two tasks near each other share a kit or a rescuer."
            ),
        }

    def clean_steps(self) -> str:
        """A line each, without blanks around it."""
        lines = [" ".join(line.split()) for line in self.cleaned_data["steps"].splitlines()]
        told = [line for line in lines if line]
        if len(told) > MOST_STEPS or any(len(line) > LONGEST_STEP for line in told):
            raise ValidationError(
                _("At most %(most)d steps of %(letters)d letters: nobody reads more in a rescue.")
                % {"most": MOST_STEPS, "letters": LONGEST_STEP}
            )
        return "\n".join(told)


class DrillForm(forms.Form):
    """Which day, how many minutes, and which kit: one of ours is out after it."""

    drilled_on = forms.DateField(label=gettext_lazy("Day of the drill"), widget=DayInput())
    minutes = FigureField(
        min_value=0.1,
        label=gettext_lazy("Minutes"),
        help_text=gettext_lazy("From the kit at the place to the casualty at safety."),
    )
    used = forms.ChoiceField(
        label=gettext_lazy("Rescue kit that was used"),
        help_text=gettext_lazy("It covers nobody until it is checked and sealed again."),
    )
    note = forms.CharField(
        label=gettext_lazy("What went well or badly"), max_length=200, required=False
    )

    def __init__(self, *args: Any, kits: QuerySet[Kit], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.kits = {kit.name: kit for kit in kits}
        named = [
            ("", gettext_lazy("Choose")),
            *((name, name) for name in self.kits),
            ("-", _("None of ours")),
        ]
        self.fields["used"].choices = named  # type: ignore[attr-defined]

    def told(self) -> dict[str, Any]:
        """What the sound form tells, the kit by itself or None."""
        told = dict(self.cleaned_data)
        told["kit"] = self.kits.get(told.pop("used"))
        return told
