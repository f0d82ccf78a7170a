"""A field into which an item is scanned or typed."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import QuerySet

from register.finding import item_named
from register.models import Item
from register.refusal import Refusal


class ItemField(forms.CharField):
    """A tag or a serial; its clean value is the one item among ``rows`` that it names."""

    rows: QuerySet[Item] = Item.objects.none()

    def __init__(self, **kwargs: Any) -> None:
        attrs = {"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}
        super().__init__(max_length=200, widget=forms.TextInput(attrs=attrs), **kwargs)

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        try:
            return item_named(self.rows, text) if text else None
        except Refusal as refusal:
            raise forms.ValidationError(refusal.sentence, code=refusal.code) from refusal
