"""What every page must be in a browser: without barriers, without complaints, within its width."""

from __future__ import annotations

from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from django.conf import settings
from django.contrib.auth import get_user_model
from django.test import Client

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer

_complaints: WeakKeyDictionary[Page, list[str]] = WeakKeyDictionary()


def listen(page: Page) -> None:
    """Remember each error the page prints or throws; a blocked script or style is one too."""
    heard: list[str] = []
    _complaints[page] = heard
    page.on("console", lambda said: heard.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: heard.append(str(error)))


def complaints(page: Page) -> list[str]:
    """The errors so far; a test that provokes one takes it out of this list."""
    return _complaints[page]


def signed_in(page: Page, live_server: LiveServer, username: str) -> Page:
    """The page with this person's session, without going through the login form."""
    client = Client()
    client.force_login(get_user_model().objects.get_by_natural_key(username))
    cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
    name = settings.SESSION_COOKIE_NAME
    page.context.add_cookies([{"name": name, "value": cookie, "url": live_server.url}])
    return page


def barriers(page: Page) -> list[str]:
    """What axe finds wrong, with the place where it first does."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page).response["violations"]
    return [f"{each['id']}: {each['help']} ({each['nodes'][0]['html'][:160]})" for each in found]


def overflow(page: Page) -> int:
    """The pixels by which the page is wider than its window."""
    return int(
        page.evaluate(
            "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
    )


def assert_clean(page: Page) -> None:
    """No barrier axe knows of, no complaint, no sideways scroll."""
    assert (barriers(page), complaints(page), max(overflow(page), 0)) == ([], [], 0), page.url
