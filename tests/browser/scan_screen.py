"""A phone's scan screen for the browser's tests: its items, its pack, and a code typed into it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from register import clock
from register.actions.conditions import quarantine
from register.models import Item, Site, User
from register.rules.tags import shown
from tests.browser.looking import signed_in
from tests.factories import ItemFactory, passed, stamp

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer


def five_items(site: Site) -> list[Item]:
    """Five that passed; the second and the fourth are out of use since."""
    made = [ItemFactory(site=site, size="XL") for _ in range(5)]
    for item in made:
        passed(item, clock.today(site))
    for item in (made[1], made[3]):
        quarantine(item, reason="damage-found", stamp=stamp())
    return made


def address(item: Item) -> str:
    return f"HTTP://LOCALHOST:8000/T/{item.code}/{item.tags.get().secret}"


def codes(items: list[Item]) -> list[str]:
    return [shown(item.code) for item in items]


def opened(page: Page, live_server: LiveServer, user: User, site: Site) -> Page:
    """The scan screen of a phone that carries the register of this site."""
    signed_in(page, live_server, user.username)
    page.goto(f"{live_server.url}/phone/")
    module = f"{live_server.url}/static/phone/packs.js"
    page.evaluate("async ([from, site]) => (await import(from)).take(site)", [module, site.code])
    page.goto(f"{live_server.url}/phone/#/scan")
    return page


def typed(page: Page, text: str) -> None:
    page.get_by_label("Code on the tag").fill(text)
    page.get_by_role("button", name="Read", exact=True).click()


def present(page: Page) -> Any:
    return page.locator(".scan-answer > div").first
