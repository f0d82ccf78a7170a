"""Every screen of the phone: no barrier, no sideways scroll, and each target large enough for a glove."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

from register.models import Item, Site, User
from tests.browser.conftest import SCREENS
from tests.browser.going_round import begun, crate, says_what_is_wrong, stops, typed
from tests.browser.looking import assert_clean, listen
from tests.browser.phones import carrying, opened, send
from tests.factories import ZoneFactory, kit_of

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page
    from pytest_django.live_server_helper import LiveServer

LEAST = 56
NARROW = {"viewport": {"width": 360, "height": 740}}
SIZES = {
    "360-light": {**NARROW, "color_scheme": "light", "has_touch": True},
    "360-dark": {**NARROW, "color_scheme": "dark", "has_touch": True},
    "390-light": SCREENS["phone-light"],
    "desk-dark": SCREENS["desk-dark"],
}
ALONE = ("", "scan", "rounds", "begin", "find", "queue", "packs", "sheets", "arrest", "event")

# A box or a dot is as large as the label around it; what is folded away is measured unfolded.
SMALL = """(least) => {
  document.querySelectorAll('details').forEach((one) => (one.open = true));
  const targets = 'a, button, input, select, textarea, summary';
  return [...document.querySelectorAll(targets)]
    .map((one) => one.closest('label') ?? one)
    .filter((one) => one.getClientRects().length && getComputedStyle(one).visibility !== 'hidden')
    .filter((one) => {
      const { width, height } = one.getBoundingClientRect();
      return width < least || height < least;
    })
    .map((one) => one.outerHTML.slice(0, 120));
}"""


@pytest.fixture(params=SIZES)
def held(chromium: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    """A phone of each size and colour."""
    size: dict[str, Any] = SIZES[request.param]
    context = chromium.new_context(**size)
    page = context.new_page()
    listen(page)
    yield page
    send(page)  # nothing is on its way when the tables are emptied
    context.close()


def looks_well(page: Page) -> None:
    page.get_by_role("heading", level=1).first.wait_for()
    assert page.evaluate(SMALL, LEAST) == [], page.url
    assert_clean(page)


def test_screens_that_stand_alone(
    held: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    item = crate(site, 2)[0]
    ZoneFactory(site=site)
    carrying(held, live_server, huw, site)
    for name in (*ALONE, "notices", f"item/{item.code}", "nowhere"):
        opened(held, live_server, name)
        looks_well(held)


def test_screens_of_a_round(held: Page, live_server: LiveServer, huw: User, site: Site) -> None:
    good, bad, _rest = crate(site, 3)
    kit = kit_of(site)
    begun(carrying(held, live_server, huw, site), live_server, "kit-check")
    looks_well(held)
    at = held.url.rpartition("/")[2]
    stops(held, bad)
    looks_well(held)
    says_what_is_wrong(held, "cut of 3 mm", photo="navy")
    typed(held, bad.code)
    looks_well(held)
    seen(held, good)
    held.get_by_role("link", name="Pass with conditions", exact=True).click()
    looks_well(held)
    opened(held, live_server, f"round/{at}")
    typed(held, kit.item.code)
    held.get_by_role("link", name="PASS").click()
    looks_well(held)
    for name in ("stray", "sign"):
        opened(held, live_server, f"{name}/{at}")
        looks_well(held)


def seen(page: Page, item: Item) -> None:
    """The facts of the item, with all that is folded away."""
    typed(page, item.code)
    page.get_by_role("button", name="PASS").wait_for()
    looks_well(page)


def test_pass_and_wrong_stand_at_opposite_ends_and_are_unlike(
    phone: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    item = crate(site, 1)[0]
    begun(carrying(phone, live_server, huw, site), live_server)
    typed(phone, item.code)
    good = phone.get_by_role("button", name="PASS").bounding_box()
    wrong = phone.get_by_role("button", name="Something is wrong").bounding_box()
    assert good
    assert wrong
    assert good["y"] - (wrong["y"] + wrong["height"]) > 2 * LEAST
    assert good["height"] > 1.3 * wrong["height"]
