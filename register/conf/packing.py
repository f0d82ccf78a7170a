"""Static files travel packed; pages do not, because what they echo could be guessed from its size."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.middleware.gzip import GZipMiddleware

PACKED = ("text/", "image/svg+xml", "application/json", "application/wasm")


class PackStaticFiles(GZipMiddleware):
    """gzip for style sheets, scripts and the decoder: a slow link carries a third of them."""

    def process_response(self, request: HttpRequest, response: HttpResponse) -> HttpResponse:
        is_static = request.path_info.startswith(settings.STATIC_URL)
        if is_static and response.get("Content-Type", "").startswith(PACKED):
            packed: HttpResponse = super().process_response(request, response)
            return packed
        return response
