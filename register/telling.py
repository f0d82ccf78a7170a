"""How a page tells its user what happened: success, or a refusal in its own words."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.contrib import messages
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


def stamp_of(request: HttpRequest) -> Stamp:
    """Who acts in this request, and now."""
    by = request.user if request.user.is_authenticated else None
    return Stamp(by=by, at=clock.now(), device="web")
