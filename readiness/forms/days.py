"""How a day is put in."""

from __future__ import annotations

from django import forms


class DayInput(forms.DateInput):
    """The browser's own calendar; the value is written as it wants it, whatever the language."""

    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")
