"""How a form tells that the domain said no: in its own words, with all that was typed still there."""

from __future__ import annotations

from collections.abc import Callable

from django import forms
from django.contrib import messages
from django.http import HttpRequest

from register.refusal import Refusal


def kept(request: HttpRequest, form: forms.BaseForm, act: Callable[[], object], said: str) -> bool:
    """Do it and say the sentence; where it is refused, the form says why and False comes back."""
    try:
        act()
    except Refusal as refusal:
        form.add_error(None, refusal.sentence)
        return False
    messages.success(request, said)
    return True
