"""A round as it is gone on a phone: the touches of an inspector, for tests."""

from __future__ import annotations

from datetime import timedelta
from io import BytesIO
from typing import TYPE_CHECKING, Any

from PIL import Image

from register import clock
from register.models import Item, Site
from register.rules.tags import shown
from tests.browser.phones import opened
from tests.factories import ItemFactory, passed

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer


def crate(site: Site, count: int) -> list[Item]:
    made = [ItemFactory(site=site) for _ in range(count)]
    for item in made:
        passed(item, clock.today(site) - timedelta(days=100))
    return made


def begun(page: Page, server: LiveServer, kind: str = "detailed", at: str = "") -> Page:
    """A round with everything in service on its list."""
    opened(page, server, f"begin/{at}")
    page.get_by_label("Kind of inspection").select_option(kind)
    page.get_by_text("everything in service").click()
    page.get_by_role("button", name="Begin", exact=True).click()
    page.get_by_text("not seen", exact=False).first.wait_for()
    return page


def typed(page: Page, code: str) -> None:
    """As a scanner at a cable does it."""
    page.get_by_label("Code on the tag").fill(code)
    page.keyboard.press("Enter")


def count_of(page: Page) -> str:
    return page.locator("p.count").inner_text()


def passes(page: Page, item: Item) -> None:
    """The three touches: the tag, PASS, and the round is there for the next tag."""
    typed(page, item.code)
    page.get_by_role("button", name="PASS").click()
    page.locator(".last", has_text=f"{shown(item.code)}: Pass").wait_for()


def stops(page: Page, item: Item) -> None:
    typed(page, item.code)
    page.get_by_role("button", name="Something is wrong").click()
    page.get_by_text("it is out of use from now").wait_for()


def photograph(colour: str) -> dict[str, Any]:
    """Larger than the phone keeps them, and with a place written beside the picture."""
    exif = Image.Exif()
    exif.get_ifd(0x8825).update({1: "N", 2: (55.0, 30.0, 0.0)})
    told = BytesIO()
    Image.new("RGB", (2400, 1800), colour).save(told, "JPEG", exif=exif)
    return {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": told.getvalue()}


def says_what_is_wrong(page: Page, words: str, *, photo: str = "") -> None:
    page.get_by_label("What is wrong", exact=True).fill(words)
    page.get_by_text("A: Is a danger now").click()
    if photo:
        page.get_by_label("Photograph", exact=True).set_input_files(photograph(photo))
        page.locator(".photograph img").wait_for()
    page.get_by_role("button", name="Keep it").click()
    page.locator(".last").wait_for()


def signs(page: Page) -> None:
    page.get_by_role("link", name="Sign the round").click()
    page.get_by_text("I had each of these items in my hands").click()
    page.get_by_role("button", name="Sign as").click()
    page.get_by_text("Signed", exact=False).first.wait_for()
