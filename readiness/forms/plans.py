"""Rescue plans and their drills."""

from __future__ import annotations

from django import forms

from readiness.forms.days import DayInput
from readiness.models import Plan


class PlanForm(forms.ModelForm[Plan]):
    class Meta:
        model = Plan
        fields = [
            *("method", "matches_task", "relies_on_emergency_services", "reviewed_on"),
            *("min_rescuers", "target_minutes", "mutual_rescue", "accompanied", "stop_work"),
        ]
        widgets = {"reviewed_on": DayInput(), "method": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "relies_on_emergency_services": "Emergency services are told, not relied on: such a "
            "plan never gives cover.",
            "target_minutes": "Your employer’s target, not law; the law says promptly. No time in "
            "suspension is known to be safe.",
            "mutual_rescue": "Then one rescuer more is needed, so that whoever hangs, enough remain.",
            "stop_work": "Only then may two tasks near each other share a kit or a rescuer.",
        }


class DrillForm(forms.Form):
    drilled_on = forms.DateField(label="Day of the drill", widget=DayInput())
    minutes = forms.FloatField(
        min_value=0.1,
        label="Minutes",
        help_text="From the kit at the place to the casualty at safety.",
    )
    note = forms.CharField(label="What went well or badly", max_length=200, required=False)
