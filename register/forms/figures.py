"""How a figure is put in, on every page: with a point, or with a comma as most of Europe writes it."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.db import models
from django.utils.translation import get_language

_LIKE_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")
_BLANKS = re.compile(r"(?<=\d)[ \u00a0\u202f](?=\d{3}(?!\d))")


def with_point(typed: Any) -> Any:
    """'1,5' as '1.5' and '1 500' as '1500'; what can be read in two ways stays as it is.

    '1,500' is a thousand and a half to an English reader: on an English page it is not taken, and
    the field says how to write it. Anything with a comma and a point stays refused as well.
    """
    if not isinstance(typed, str):
        return typed
    text = _BLANKS.sub("", typed.strip())
    is_english = (get_language() or "en").startswith("en")
    if text.count(",") != 1 or "." in text or (is_english and _LIKE_THOUSANDS.fullmatch(text)):
        return text
    return text.replace(",", ".")


class FigureField(forms.FloatField):
    """A figure kept as it is measured."""

    def to_python(self, value: Any) -> Any:
        return super().to_python(with_point(value))


class ExactField(forms.DecimalField):
    """A figure kept digit by digit."""

    def to_python(self, value: Any) -> Any:
        return super().to_python(with_point(value))


def figures_with_commas(column: models.Field[Any, Any], **kwargs: Any) -> forms.Field | None:
    """The field of a column in a form made from a table; a `formfield_callback`."""
    if isinstance(column, models.FloatField):
        kwargs["form_class"] = FigureField
    elif isinstance(column, models.DecimalField):
        kwargs["form_class"] = ExactField
    made: forms.Field | None = column.formfield(**kwargs)
    return made
