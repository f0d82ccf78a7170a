"""The words of the phone's queue: what was written, and what became of it."""

from __future__ import annotations

from collections.abc import Callable

from django.utils.translation import gettext_noop

WORDS: dict[str, str | Callable[[int], str]] = {
    "queue": gettext_noop("To send"),
}
