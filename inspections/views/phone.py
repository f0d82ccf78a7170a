"""What a phone loads once to work without signal: one page, its worker, its manifest, its words."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from csp.constants import SELF, WASM_UNSAFE_EVAL
from csp.decorators import csp_update
from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import reverse
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from inspections.forms.tag import ON_SITE_REASONS
from inspections.phone_words import all_words
from register.access import open_page

APPS = Path(settings.BASE_DIR)
FILES = APPS / "inspections" / "static" / "phone"
PAGES = ("inspections:phone", "inspections:phone-words", "inspections:phone-manifest")
KEPT = {".js", ".css", ".wasm"}
SHARED = ("register/tag.css", "register/mark.svg")
"""Files of the register that the phone's page uses as well."""

NO_DATA = "a phone without signal and without a login must open it; it holds no data"
fresh = cache_control(no_cache=True)  # kept by the browser, and asked for again


@open_page(NO_DATA)
@require_safe
@fresh
@csp_update(
    {
        "script-src": [WASM_UNSAFE_EVAL],  # the decoder of tag pictures is such a module
        "worker-src": [SELF],
        "img-src": ["blob:"],  # a photograph just taken
        "media-src": [SELF, "blob:"],
    }
)
def phone(request: HttpRequest) -> HttpResponse:
    """The one page; which screen it shows is decided on the phone, from what is kept there."""
    return HttpResponse(_shell())


@open_page(NO_DATA)
@require_safe
@fresh
def phone_worker(request: HttpRequest) -> HttpResponse:
    """The script that keeps the page: a first line with its files and their hash, then the file."""
    files = shell_files()
    told = {
        "version": _version(files),
        "page": reverse("inspections:phone"),
        "files": [*map(reverse, PAGES), *(static(one) for one in files if not _is_extra(one))],
        "extras": [static(one) for one in files if _is_extra(one)],
    }
    source = f"const SHELL = {json.dumps(told)};\n{(FILES / 'worker.js').read_text('utf-8')}"
    response = HttpResponse(source, content_type="text/javascript; charset=utf-8")
    response["Service-Worker-Allowed"] = "/"
    return response


@open_page(NO_DATA)
@require_safe
@fresh
def phone_manifest(request: HttpRequest) -> HttpResponse:
    """What the phone needs to put the page among its own programs."""
    told = {
        "name": _("Tallyhook on the phone"),
        "short_name": "Tallyhook",
        "start_url": reverse("inspections:phone"),
        "scope": "/",
        "display": "standalone",
        "icons": [{"src": static("register/mark.svg"), "sizes": "any", "type": "image/svg+xml"}],
    }
    return JsonResponse(told, content_type="application/manifest+json")


@open_page(NO_DATA)
@require_safe
@fresh
def phone_words(request: HttpRequest) -> HttpResponse:
    """Every sentence of the phone's screens, in the language of the request."""
    return JsonResponse(_words())


def shell_files() -> dict[str, Path]:
    """Each static file of the phone's page by its name among the static files."""
    own = sorted(path for path in FILES.rglob("*") if path.suffix in KEPT)
    found = {f"phone/{path.relative_to(FILES).as_posix()}": path for path in own}
    del found["phone/worker.js"]  # it stands in the worker itself
    return found | {name: APPS / "register" / "static" / name for name in SHARED}


def _is_extra(name: str) -> bool:
    """Fetched when the program was set up, or not: the page works without it."""
    return name.startswith("phone/decoder/")


def _version(files: dict[str, Path]) -> str:
    """Another one as soon as anything that the phone keeps is another."""
    told = hashlib.sha256(_shell().encode())
    told.update(json.dumps(_words(), sort_keys=True).encode())
    for name, path in files.items():
        told.update(name.encode())
        told.update(path.read_bytes())
    return told.hexdigest()[:16]


def _shell() -> str:
    """Rendered without the request, so that nothing of a person can get into it."""
    return render_to_string("inspections/phone.html", {"language": get_language()})


def _words() -> dict[str, object]:
    return {"language": get_language(), "reasons": ON_SITE_REASONS, **all_words()}
