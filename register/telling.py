"""How a page tells its user what happened: success, or a refusal in its own words."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest

from register import clock
from register.models import Stamp
from register.refusal import Refusal


@contextmanager
def told_to(request: HttpRequest, success: str) -> Iterator[None]:
    """Say the sentence when the block ends well; say the refusal when the domain says no."""
    try:
        yield
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
    else:
        messages.success(request, success)


def kept(request: HttpRequest, form: forms.BaseForm, act: Callable[[], object], said: str) -> bool:
    """Do the act of a sound form and say the sentence; refused, the form says why, still filled in."""
    if not form.is_valid():
        return False
    try:
        act()
    except Refusal as refusal:
        form.add_error(None, refusal.sentence)
        return False
    except ValidationError as error:
        form.add_error(None, error.messages)  # type: ignore[arg-type]
        return False
    messages.success(request, said)
    return True


def stamp_of(request: HttpRequest) -> Stamp:
    """Who acts in this request, and now."""
    by = request.user if request.user.is_authenticated else None
    return Stamp(by=by, at=clock.now(), device="web")
