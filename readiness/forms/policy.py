"""The limits of rescue cover as a form."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy

from readiness.actions.policy import LIMITS
from readiness.models import CoverPolicy
from register.forms.figures import figures_with_commas


class PolicyForm(forms.ModelForm[CoverPolicy]):
    """Each limit with what it means."""

    class Meta:
        model = CoverPolicy
        formfield_callback = figures_with_commas
        fields = LIMITS
        labels = {
            "alarm_minutes": gettext_lazy("Raising the alarm (minutes)"),
            "share_within_minutes": gettext_lazy("Two tasks may share a kit within (minutes)"),
            "first_aid_within_minutes": gettext_lazy("A first aider within (minutes)"),
            "plan_review_months": gettext_lazy("A plan is reviewed every (months)"),
            "drill_months": gettext_lazy("A plan is drilled every (months)"),
            "restraint_allowance_m": gettext_lazy("Allowance before an edge (m)"),
            "rescuer_kg": gettext_lazy("Rescuer who descends with the casualty (kg)"),
            "swing_look_deg": gettext_lazy("Look again at a swing past (degrees from plumb)"),
            "swing_most_deg": gettext_lazy("Nobody works where they would swing past (degrees)"),
        }
        help_texts = {
            "alarm_minutes": gettext_lazy("Added to every way to the casualty."),
            "share_within_minutes": gettext_lazy(
                "Only where both plans stop other work during a rescue."
            ),
            "first_aid_within_minutes": gettext_lazy(
                "In date, on site, and no further from the task than this."
            ),
            "plan_review_months": gettext_lazy("A plan reviewed longer ago covers nothing."),
            "drill_months": gettext_lazy("A plan drilled longer ago, or never, covers nothing."),
            "restraint_allowance_m": gettext_lazy(
                "Reach plus deflection plus this must not pass the edge."
            ),
            "rescuer_kg": gettext_lazy(
                "With tools; added to the casualty on a kit that carries both."
            ),
            "swing_most_deg": gettext_lazy(
                "Sums of a fall that swings farther count for no cover. 30 is told in trade texts."
            ),
        }
