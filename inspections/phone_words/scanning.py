"""The words of scanning tags: what was read, and why the camera does not read."""

from __future__ import annotations

from collections.abc import Callable

from django.utils.translation import gettext_noop

WORDS: dict[str, str | Callable[[int], str]] = {
    "scan": gettext_noop("Scan"),
    "bar-scan": gettext_noop("Scan"),
    "scan-view": gettext_noop("What the camera sees"),
    "scan-hint": gettext_noop(
        "Hold a tag within the corners. What was read stands here, and the next tag can follow at once."
    ),
    "scan-light": gettext_noop("Light"),
    "scan-retry": gettext_noop("Try the camera again"),
    "scan-read": gettext_noop("Read"),
    # what was read
    "scan-again": gettext_noop("The same tag once more."),
    "scan-other-site": gettext_noop("This tag belongs to %(site)s."),
    "scan-serial-tail": gettext_noop("serial …%(tail)s"),
    "scan-seen": gettext_noop("Seen"),
    "scan-stops": gettext_noop("Not to be used"),
    "scan-before": gettext_noop("Read before"),
    # why the camera does not read
    "camera-refused": gettext_noop(
        "This browser may not use the camera. Allow it for this address in the browser's settings, then"
        " try again. Until then type the code or photograph the tag."
    ),
    "camera-busy": gettext_noop(
        "The camera does not answer. Close other programs that use it, then try again. Until then type the"
        " code or photograph the tag."
    ),
    "camera-needs-https": gettext_noop(
        "A browser gives its camera to https addresses only, and this is none. Type the code or photograph"
        " the tag."
    ),
    "no-camera": gettext_noop(
        "This device gives the page no camera. Type the code or photograph the tag."
    ),
    "no-decoder": gettext_noop(
        "This page cannot read codes from the camera: its decoder was not fetched when the register was"
        " set up (manage.py fetch_decoder). Type the code or photograph the tag; the phone's own camera"
        " opens a tag's page too."
    ),
    "decoder-failed": gettext_noop(
        "Reading the camera broke down, perhaps for want of memory. Try again, or type the code."
    ),
    # photographs
    "scan-photo": gettext_noop("Photograph of a tag"),
    "photo-reading": gettext_noop("Reading the photograph …"),
    "photo-no-answer": gettext_noop(
        "The register reads photographs for this phone, and it does not answer now. Type the code."
    ),
    "photo-nothing-read": gettext_noop(
        "No code can be read in this photograph. Take it again, nearer and sharp, or type the code."
    ),
    "photo-several-tags": gettext_noop(
        "There is more than one tag in this photograph. Take it again with one alone."
    ),
    "photo-not-a-photo": gettext_noop(
        "This file is no photograph that can be read. Take a JPEG or PNG, or type the code."
    ),
}
