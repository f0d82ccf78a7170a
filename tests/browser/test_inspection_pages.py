"""The bench and the tag page as people use them: one thumb, any light, no barriers."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from register import clock
from register.models import Item, Site, User
from tests.browser.looking import assert_clean, signed_in
from tests.factories import ItemFactory, passed

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer

LEAST = 56  # pixels: a target for a gloved thumb


@pytest.fixture
def harness(site: Site) -> Item:
    made: Item = ItemFactory(site=site, serial="HT-34471", size="M")
    passed(made, clock.today(site) - timedelta(days=100))
    return made


def at_the_bench(page: Page, live_server: LiveServer) -> Page:
    """Huw has begun a round."""
    signed_in(page, live_server, "huw")
    page.goto(live_server.url + reverse("inspections:inspect-round"))
    page.get_by_role("button", name="Start scanning").click()
    return page


def test_the_bench_has_no_barriers(
    page: Page, live_server: LiveServer, huw: User, harness: Item
) -> None:
    at_the_bench(page, live_server)
    assert_clean(page)
    page.goto(f"{live_server.url}/inspect/?code={harness.code}")
    assert_clean(page)
    page.get_by_role("button", name="FAIL").click()
    assert_clean(page)


def test_sixty_in_a_row_need_the_scanner_and_one_button(
    phone: Page, live_server: LiveServer, huw: User, harness: Item
) -> None:
    at_the_bench(phone, live_server)
    phone.wait_for_function("document.activeElement.id === 'scan'")
    phone.keyboard.type(harness.shown_code)  # a scanner types into the box that has the focus
    phone.keyboard.press("Enter")
    phone.get_by_role("button", name="PASS").click()
    assert "passed, next due" in phone.get_by_role("status").inner_text()
    phone.wait_for_function("document.activeElement.id === 'scan'")


def test_pass_and_fail_are_large_apart_and_unlike(
    phone: Page, live_server: LiveServer, huw: User, harness: Item
) -> None:
    at_the_bench(phone, live_server)
    phone.goto(f"{live_server.url}/inspect/?code={harness.code}")
    ok = phone.get_by_role("button", name="PASS").bounding_box()
    no = phone.get_by_role("button", name="FAIL").bounding_box()
    assert ok
    assert no
    assert min(ok["height"], ok["width"], no["height"], no["width"]) >= LEAST
    assert ok["x"] - (no["x"] + no["width"]) >= 12
    assert ok["height"] > no["height"]
    assert ok["y"] > 844 / 2


SMALL = """least => [...document.querySelectorAll("main :is(button, .button, summary, select, textarea,"
    + " input:not([type=hidden], [type=radio], [type=checkbox], [type=file]), .check > label,"
    + " label:has([type=radio]), .trail a, .result > a)")]
  .map(one => [one.innerText || one.name, one.getBoundingClientRect().height])
  .filter(([name, height]) => height > 0 && height < least)"""


def test_every_target_at_the_bench_suits_a_gloved_thumb(
    phone: Page, live_server: LiveServer, huw: User, harness: Item
) -> None:
    at_the_bench(phone, live_server)
    assert phone.evaluate(SMALL, LEAST) == []
    phone.goto(f"{live_server.url}/inspect/?code={harness.code}")
    phone.get_by_text("Another verdict, or not this item").click()
    assert phone.evaluate(SMALL, LEAST) == []
    phone.get_by_role("button", name="FAIL").click()
    assert phone.evaluate(SMALL, LEAST) == []
    phone.goto(f"{live_server.url}/inspect/")
    assert phone.get_by_role("link", name="Finish").is_visible()
    assert phone.evaluate(SMALL, LEAST) == []


def test_the_day_of_a_danger_is_asked_for_class_b_alone(
    phone: Page, live_server: LiveServer, huw: User, harness: Item
) -> None:
    at_the_bench(phone, live_server)
    phone.goto(f"{live_server.url}/inspect/?code={harness.code}")
    phone.get_by_role("button", name="FAIL").click()
    day = phone.locator("[name=form-0-danger_by_on]")
    seen = []
    for grade in ("A: Is a danger now", "B: Could become a danger by a date", "C: Observation"):
        phone.get_by_label(grade).first.check()
        seen.append(day.is_visible())
    assert seen == [False, True, False]


def test_the_tag_page_has_no_barriers(page: Page, live_server: LiveServer, harness: Item) -> None:
    secret = harness.tags.get().secret
    page.goto(f"{live_server.url}/T/{harness.code}/{secret}")
    assert_clean(page)
    page.get_by_label("What is wrong?").select_option("damage-found")
    page.get_by_role("button", name="Something is wrong").click()
    assert page.get_by_role("heading", name="DO NOT USE").is_visible()
    assert_clean(page)
