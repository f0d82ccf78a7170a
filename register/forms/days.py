"""How a day is put in, on every page."""

from __future__ import annotations

from typing import Any

from django import forms


class DayInput(forms.DateInput):
    """The browser's own calendar; the value is written as it wants it, whatever the language."""

    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")


def day_field(label: str, **particulars: Any) -> forms.DateField:
    """A day, picked or typed as 2026-03-09."""
    return forms.DateField(label=label, widget=DayInput(), **particulars)
