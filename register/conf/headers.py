"""What a browser is told besides Django's own headers: what a page may use, and who may use it."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

NOBODY = ("microphone", "geolocation", "payment", "usb", "serial", "midi", "display-capture")
POLICY = ", ".join(["camera=(self)", *(f"{each}=()" for each in NOBODY)])


class KeepToOurselves:
    """The camera is for our own pages, nothing else for anybody; no foreign page embeds what we serve."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers.setdefault("Permissions-Policy", POLICY)
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        return response
