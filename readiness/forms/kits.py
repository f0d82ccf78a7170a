"""What a kit can do."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from readiness.models import KitAbility
from register.forms.figures import figures_with_commas
from register.models import Shift


class KitAbilityForm(forms.ModelForm[KitAbility]):
    class Meta:
        model = KitAbility
        formfield_callback = figures_with_commas
        fields = [
            *("family", "lowers", "raises", "attaches_remotely", "max_load_kg", "min_load_kg"),
            *("max_height_m", "descent_energy_j", "locked_shifts", "key_from", "key_until"),
        ]
        widgets = {
            "locked_shifts": forms.CheckboxSelectMultiple,
            "key_from": forms.TimeInput({"type": "time"}),
            "key_until": forms.TimeInput({"type": "time"}),
        }
        help_texts = {
            "max_load_kg": gettext_lazy(
                "As its instructions say for the whole kit: the least of its parts."
            ),
            "descent_energy_j": gettext_lazy(
                "As marked on the descender (EN 341). Leave it where none is marked."
            ),
            "locked_shifts": gettext_lazy("Shifts on which nobody can get at it."),
            "key_from": gettext_lazy(
                "Only where it is locked up and somebody with the key is there for some hours."
            ),
            "key_until": gettext_lazy("Earlier than the first hour means past midnight."),
        }

    def __init__(self, *args: Any, site_id: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        shifts = Shift.objects.filter(site=site_id)
        self.fields["locked_shifts"].queryset = shifts  # type: ignore[attr-defined]
