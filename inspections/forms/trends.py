"""How far back the reject rates look, and how long a rejected piece is missing."""

from __future__ import annotations

from typing import ClassVar

from django import forms
from django.utils.translation import gettext_lazy

from register.forms.asking import PlainForm


class RatesForm(PlainForm):
    USUAL: ClassVar[dict[str, int]] = {"years": 2, "days_away": 28}

    years = forms.IntegerField(label=gettext_lazy("Years back"), min_value=1, max_value=20)
    days_away = forms.IntegerField(
        label=gettext_lazy("Days until a rejected piece is replaced"), min_value=1, max_value=730
    )
