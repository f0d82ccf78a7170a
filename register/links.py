"""The whole address of a page, as letters and programs outside need it."""

from django.conf import settings
from django.urls import reverse


def link_to(page: str, *args: object, asked: str = "") -> str:
    """By the name of the page; `asked` is what follows it, from the question mark on."""
    return f"{settings.PUBLIC_URL}{reverse(page, args=args)}{asked}"
