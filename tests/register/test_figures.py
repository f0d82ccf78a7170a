"""A figure typed with a comma, as most of Europe writes it, is the same figure on every page."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator

import pytest
from django import forms
from django.utils import translation

import inspections.forms
import readiness.forms
import register.forms
import register.forms_labels
from register.forms.figures import ExactField, FigureField


@pytest.mark.parametrize(
    ("language", "typed", "read"),
    [
        ("en", "1.5", 1.5),
        ("en", "1,5", 1.5),
        ("en", " 12,25 ", 12.25),
        ("en", "0,125", 0.125),
        ("pl", "1,5", 1.5),
        ("pl", "1,500", 1.5),
        ("pl", "1\u00a0500,5", 1500.5),
        ("pl", "6", 6.0),
    ],
)
def test_a_comma_is_a_point(language: str, typed: str, read: float) -> None:
    with translation.override(language):
        assert FigureField().clean(typed) == read
        assert float(ExactField().clean(typed)) == read


@pytest.mark.parametrize("typed", ["1,500", "1.500,5", "1,2,3", "1,5 m", "nan"])
def test_what_can_be_read_in_two_ways_is_asked_again(typed: str) -> None:
    with translation.override("en"), pytest.raises(forms.ValidationError):
        ExactField().clean(typed)


def form_classes() -> Iterator[type[forms.BaseForm]]:
    packages = (register.forms, inspections.forms, readiness.forms)
    names = [
        one.name for of in packages for one in pkgutil.iter_modules(of.__path__, f"{of.__name__}.")
    ]
    for module in [register.forms_labels, *map(importlib.import_module, names)]:
        for made in vars(module).values():
            if isinstance(made, type) and issubclass(made, forms.BaseForm):
                yield made


def test_every_figure_of_every_form_takes_a_comma() -> None:
    figures = {
        f"{form.__name__}.{name}": field
        for form in form_classes()
        for name, field in getattr(form, "base_fields", {}).items()
        if isinstance(field, forms.FloatField | forms.DecimalField)
    }
    assert "TaskForm.lower_m" in figures
    plain = [name for name, one in figures.items() if not isinstance(one, FigureField | ExactField)]
    assert plain == []
